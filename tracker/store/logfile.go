package store

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"soaktag/tracker"
)

// WriteLog writes the log as JSON lines, one event a line in the order of the
// log: every field that is not zero in words, times in UTC to the millisecond,
// and the hash of the chain at that event. It returns the hash of the last event
// written and their number, by which RestoreLog finds a log that was cut.
func (db *DB) WriteLog(w io.Writer) (head string, events int64, err error) {
	db.mu.Lock()
	defer db.mu.Unlock()
	buf := bufio.NewWriter(w)
	at, err := db.log.writeTo(buf)
	return at.hash.String(), at.count, errors.Join(explain(db.log.path, err), buf.Flush())
}

// writeTo writes one statement's view of the log, which is of one instant.
func (log *eventLog) writeTo(w io.Writer) (link, error) {
	rows, err := log.conn.QueryContext(context.Background(), "SELECT body, hash FROM event ORDER BY seq")
	if err != nil {
		return start(), err
	}
	out, at := json.NewEncoder(w), start()
	out.SetEscapeHTML(false)
	for rows.Next() {
		var body, sum []byte
		if err = rows.Scan(&body, &sum); err != nil {
			break
		}
		if at, err = log.writeLine(out, at, body, sum); err != nil {
			break
		}
	}
	return at, errors.Join(err, rows.Err(), rows.Close())
}

func (log *eventLog) writeLine(out *json.Encoder, at link, body, sum []byte) (link, error) {
	at = at.next(body, &log.scratch)
	e, err := Decode(body)
	if err != nil || !bytes.Equal(sum, at.hash[:]) {
		return at, damaged(log.path, fmt.Sprintf("event %d does not fit the chain of hashes", at.count))
	}
	l := inWords(e)
	l.Seq, l.Hash = at.count, at.hash.String()
	return at, out.Encode(l)
}

// A PhotoReader returns the bytes of a photograph, by its SHA-256 in
// hexadecimal and its type. Its errors say which file they are about.
type PhotoReader func(sum, mediaType string) ([]byte, error)

// RestoreLog makes a study at the path to, which must not exist, of a log that
// WriteLog wrote and of the photographs that photos reads; it is not called for
// a log that names none. The new study has the same events and the same head
// hash. A line that cannot be read, is out of order or does not fit its hash is
// named (ErrLine), so is a photograph that is not the one the log names
// (ErrPhoto), and nothing is left behind.
//
// head and events are what WriteLog returned: a log that does not come as far
// is refused (ErrLine). With 0 events nobody can tell whether the end is there.
func RestoreLog(r io.Reader, to string, read tracker.PlanReader, photos PhotoReader, head string, events int64) error {
	return create(to, func(log *eventLog, at link) error {
		rec := tracker.NewRecord(read)
		entries, err := readLines(r, at, rec, promise{head, events})
		if err != nil {
			return err
		}
		if err := log.takePhotos(rec, photos); err != nil {
			return err
		}
		if err := log.moveOn(rec.Events()); err != nil {
			return err
		}
		return log.commitAll(at, entries)
	})
}

// takePhotos adds every photograph that the record names, each by itself: the
// file has not got its name yet, and all of them at once may be large.
func (log *eventLog) takePhotos(rec *tracker.Record, read PhotoReader) error {
	for _, e := range photographs(rec) {
		if read == nil {
			return faultf(ErrPhoto, "event %d names the photograph %s, and there are no photographs beside the log", e.Seq, e.Photo)
		}
		p, err := read.photo(e)
		if err != nil {
			return fmt.Errorf("event %d: %w", e.Seq, err)
		}
		if err := log.addPhotoOf(e, p); err != nil {
			return err
		}
	}
	return nil
}

// photo reads the photograph that an event names.
func (read PhotoReader) photo(e tracker.Event) (photo, error) {
	bytes, err := read(e.Photo, e.PhotoType)
	if err != nil {
		return photo{}, err
	}
	return photoOf(bytes)
}

// addPhotoOf adds a photograph if it is the one that an event names.
func (log *eventLog) addPhotoOf(e tracker.Event, p photo) error {
	if err := p.fits(e); err != nil {
		return err
	}
	return log.addPhoto(p)
}

// moveOn moves the file on to the format that events ask for.
func (log *eventLog) moveOn(events []tracker.Event) error {
	for _, e := range events {
		if e.Notebook != "" {
			return log.makeRoomForMerged()
		}
	}
	for _, e := range events {
		if e.Kind == tracker.PlanAmended {
			return log.makeRoom()
		}
	}
	return nil
}

// A promise is what a log was said to hold when it was written.
type promise struct {
	head   string
	events int64
}

// kept says how a log falls short of the promise; empty when it does not. A log
// may go on beyond it: an export can be interrupted between two files.
func (p promise) kept(log lines) error {
	switch n := int64(len(log.entries)); {
	case n < p.events:
		return faultf(ErrLine, "the log ends with event %d, but it had %d when it was written: lines are missing at its end; take another copy of the export, or a backup", n, p.events)
	case p.events > 0 && log.promised != p.head:
		return faultf(ErrLine, "event %d has not the hash that the description beside the log gives: the two are not of one export; take another copy of it, or a backup", p.events)
	}
	return nil
}

// readLines reads a log in words, checks its chain from the place at, folds it
// into rec, and checks that it holds what was promised.
func readLines(r io.Reader, at link, rec *tracker.Record, p promise) ([]entry, error) {
	in := bufio.NewReader(r)
	l := lines{at: at, rec: rec, last: p.events}
	for n := 1; ; n++ {
		text, err := in.ReadBytes('\n')
		if text = bytes.TrimSpace(text); len(text) > 0 {
			if bad := l.line(text); bad != nil {
				return nil, faultf(ErrLine, "line %d: %v", n, bad)
			}
		}
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("reading the log: %w", err)
		}
	}
	if len(l.entries) == 0 {
		return nil, faultf(ErrLine, "the log is empty")
	}
	return l.entries, p.kept(l)
}

// ReadLog reads the events of a log in words by themselves, whole or what was saved of a
// damaged study: each fits its hash. The errors are those of RestoreLog.
func ReadLog(path string) (events []tracker.Event, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	in, at, scratch := json.NewDecoder(f), start(), []byte(nil)
	in.DisallowUnknownFields()
	for in.More() {
		var w words
		if err := in.Decode(&w); err != nil {
			return nil, faultf(ErrLine, "%s: event %d cannot be read: %v", path, at.count+1, err)
		}
		e, err := w.event()
		if err != nil {
			return nil, faultf(ErrLine, "%s: event %d: %v", path, at.count+1, err)
		}
		if at = at.next(Encode(e), &scratch); w.Hash != at.hash.String() {
			return nil, faultf(ErrLine, "%s: event %d does not fit its hash; it, or a line before it, was changed", path, at.count)
		}
		e.Seq = at.count
		events = append(events, e)
	}
	if len(events) == 0 {
		return nil, faultf(ErrLine, "%s: the log is empty", path)
	}
	return events, nil
}

type lines struct {
	at       link
	rec      *tracker.Record
	entries  []entry
	scratch  []byte
	last     int64  // the event whose hash was promised
	promised string // the hash found there
}

func (l *lines) line(text []byte) error {
	in := json.NewDecoder(bytes.NewReader(text))
	in.DisallowUnknownFields()
	var w words
	if err := in.Decode(&w); err != nil {
		return err
	}
	if in.More() {
		return errors.New("more than one event")
	}
	e, err := w.event()
	if err != nil {
		return err
	}
	return l.event(e, w)
}

// event takes the event of a line, in its canonical form.
func (l *lines) event(e tracker.Event, w words) error {
	body := Encode(e)
	e, err := Decode(body)
	if err != nil {
		return err
	}
	l.at = l.at.next(body, &l.scratch)
	switch {
	case w.Seq != l.at.count:
		return fmt.Errorf("it is event %d where event %d should stand; lines are missing, doubled or in another order", w.Seq, l.at.count)
	case w.Hash != l.at.hash.String():
		return fmt.Errorf("event %q does not fit its hash; it, or a line before it, was changed", e.ID)
	case l.at.count == 1 && e.Kind != tracker.Begun:
		return fmt.Errorf("the first event is of kind %q, not %q", e.Kind, tracker.Begun)
	}
	e.Seq = l.at.count
	added, err := l.rec.Add(e)
	if err == nil && !added {
		err = fmt.Errorf("event %q stands in the log twice", e.ID)
	}
	if l.at.count == l.last {
		l.promised = w.Hash
	}
	l.entries = append(l.entries, entry{e.ID, body})
	return err
}
