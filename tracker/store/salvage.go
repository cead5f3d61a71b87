package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"

	"soaktag/tracker"
)

// A Salvage is what can still be read of a study, however it is damaged. Close it.
type Salvage struct {
	Events []tracker.Event // those that are whole, in the order of the log, each with its place there
	Gaps   []Gap           // what is missing between them, in the same order

	carver *carver
	taken  map[string]bool // ids
}

// A Gap is a run of events that cannot be read, or not be believed.
type Gap struct {
	Before int             // it stands before Events[Before]
	First  int64           // the place of the first that is missing
	Count  int64           // how many are missing
	Photos []tracker.Event // of these, events whose photograph alone is lost
}

// OpenSalvage reads all that is left of the study at path: flipped bytes, broken pages,
// a file cut short, a missing or broken journal and a broken chain do not stop it. An
// event is whole when the chain vouches for it, or, beside a gap, when nothing speaks
// against it; one that was changed counts as missing, and so does one whose photograph is
// lost. The file is only read. The error is that of a file that cannot be opened, or
// ErrNotSoaktag: nothing of ours was found in it.
func OpenSalvage(path string) (*Salvage, error) {
	if err := look(path, reading); err != nil && !errors.Is(err, ErrReadOnly) {
		return nil, err
	}
	c, err := carve(path)
	if err != nil {
		return nil, err
	}
	s := &Salvage{carver: c, taken: map[string]bool{}}
	s.order(witnesses(path))
	if len(s.Events) == 0 {
		return nil, errors.Join(faultf(ErrNotSoaktag, "nothing of a study can be read in %s: not one event; put the last backup back with `soaktag restore BACKUP --study NEW.soaktag`", path), c.close())
	}
	return s, nil
}

func (s *Salvage) Close() error { return s.carver.close() }

// Photo returns the bytes of a photograph. fs.ErrNotExist: it is lost.
func (s *Salvage) Photo(sum string) ([]byte, error) {
	p, ok := s.carver.photos[sum]
	for _, newest := range []bool{true, false} {
		if all, read := s.carver.whole(p, newest); ok && read {
			_, header := columnTypes(all)
			if photo := all[header+32:]; tracker.PhotoSum(photo) == sum {
				return photo, nil
			}
		}
	}
	return nil, fmt.Errorf("the photograph %s is lost: %w", sum, fs.ErrNotExist)
}

// EachPhoto calls do with every photograph that is left of those that events name.
func (s *Salvage) EachPhoto(do func(sum, mediaType string, photo []byte) error) error {
	met := map[string]bool{}
	for _, e := range s.Events {
		if e.Photo == "" || met[e.Photo] {
			continue
		}
		met[e.Photo] = true
		photo, err := s.Photo(e.Photo)
		if err == nil {
			err = do(e.Photo, e.PhotoType, photo)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// A chain is the log as far as it was put in order.
type chain struct {
	at    link // of the last event, as far as known is true
	known bool
	last  int64 // the place of the last event that was taken
}

// order puts what was found in the order of the log.
func (s *Salvage) order(noted map[string]witness) {
	end := s.end(noted)
	c := chain{at: start(), known: true}
	for _, seq := range slices.Sorted(maps.Keys(s.carver.rows)) {
		for c.known && c.last+1 < seq && s.misplaced(&c) { // a row whose number was changed
		}
		if seq == c.last+1 && c.known {
			s.follow(&c, seq, end)
		} else if seq > c.last && (end.count == 0 || seq <= end.count) {
			s.beside(&c, seq, end)
		}
	}
	for c.known && c.last < end.count && s.misplaced(&c) {
	}
	s.missing(c.last+1, end.count)
}

// end is where the log ended, by whatever says so; the zero link where nothing does.
func (s *Salvage) end(noted map[string]witness) (end link) {
	for _, w := range noted {
		s.carver.ends = append(s.carver.ends, w.last)
	}
	places := map[hash]int64{}
	for seq, rows := range s.carver.rows {
		for _, r := range rows {
			places[hash(r.hash)] = seq
		}
	}
	for _, l := range s.carver.ends {
		if place, known := places[l.hash]; l.count > end.count && (!known || place == l.count) { // else its count was changed
			end = l
		}
	}
	return end
}

// follow takes the row that the chain vouches for.
func (s *Salvage) follow(c *chain, seq int64, end link) {
	for _, r := range s.carver.rows[seq] {
		want := hash(chained(c.at.hash[:], r.body))
		if bytes.Equal(r.hash, want[:]) || s.confirmed(seq, want[:], end) {
			s.take(c, seq, r, want, true)
			return
		}
	}
	for _, r := range s.carver.rows[seq] { // changed; its hash may still serve what follows
		if s.confirmed(seq, r.hash, end) {
			s.missing(seq, seq)
			*c = chain{link{seq, hash(r.hash)}, true, seq}
			return
		}
	}
	c.known = s.misplaced(c)
}

// beside takes a row behind a gap: one that what follows vouches for before others.
func (s *Salvage) beside(c *chain, seq int64, end link) {
	rows := s.carver.rows[seq]
	for _, r := range rows {
		if s.confirmed(seq, r.hash, end) {
			s.take(c, seq, r, hash(r.hash), true)
			return
		}
	}
	if e, _ := Decode(rows[0].body); e.ID == rows[0].id && !s.taken[e.ID] {
		s.take(c, seq, rows[0], hash(rows[0].hash), false)
	}
}

// confirmed reports whether the row behind a place, or the end of the log, says that the
// chain had that hash there.
func (s *Salvage) confirmed(seq int64, sum []byte, end link) bool {
	if end.count == seq && bytes.Equal(end.hash[:], sum) {
		return true
	}
	return slices.ContainsFunc(s.carver.rows[seq+1], func(r row) bool { return fits(sum, r.body, r.hash) })
}

// misplaced takes the event that comes next by the chain, wherever it says that it stands.
func (s *Salvage) misplaced(c *chain) bool {
	for seq, rows := range s.carver.rows {
		for _, r := range rows {
			if seq != c.last+1 && fits(c.at.hash[:], r.body, r.hash) {
				s.take(c, c.last+1, r, hash(r.hash), true)
				return true
			}
		}
	}
	return false
}

func (s *Salvage) take(c *chain, seq int64, r row, sum hash, known bool) {
	s.missing(c.last+1, seq-1)
	*c = chain{link{seq, sum}, known, seq}
	e, err := Decode(r.body)
	if err != nil {
		return // carved rows are read already
	}
	e.Seq, s.taken[e.ID] = seq, true
	if e.Photo != "" {
		if _, err := s.Photo(e.Photo); err != nil {
			s.missing(seq, seq)
			g := &s.Gaps[len(s.Gaps)-1]
			g.Photos = append(g.Photos, e)
			return
		}
	}
	s.Events = append(s.Events, e)
}

// missing notes that the events from one place to another are not there.
func (s *Salvage) missing(from, to int64) {
	if to < from {
		return
	}
	if n := len(s.Gaps); n > 0 && s.Gaps[n-1].Before == len(s.Events) {
		g := &s.Gaps[n-1]
		g.Count += max(0, to+1-max(from, g.First+g.Count))
		return
	}
	s.Gaps = append(s.Gaps, Gap{Before: len(s.Events), First: from, Count: to - from + 1})
}

// WriteEvents writes events as WriteLog writes a log, numbered from 1 and with a chain of
// their own.
func WriteEvents(w io.Writer, events []tracker.Event) (head string, n int64, err error) {
	out, at, scratch := json.NewEncoder(w), start(), []byte(nil)
	out.SetEscapeHTML(false)
	for _, e := range events {
		at = at.next(Encode(e), &scratch)
		l := inWords(e)
		l.Seq, l.Hash = at.count, at.hash.String()
		if err := out.Encode(l); err != nil {
			return "", 0, err
		}
	}
	return at.hash.String(), at.count, nil
}
