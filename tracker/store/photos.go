package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"

	"soaktag/tracker"
)

// Keep is Record for events that keep a photograph: its bytes and the events
// are in the study together, or neither. The same bytes twice are kept once. At
// least one event names the photograph by its hash and type, as
// tracker.PhotoSum and tracker.PhotoType give them.
//
// The errors are those of Record, and ErrPhoto: no bytes at all, more than
// tracker.MaxPhoto, neither JPEG, PNG nor WebP, or not what the events name.
func (db *DB) Keep(photo []byte, events ...tracker.Event) ([]tracker.Verdict, error) {
	p, err := photoOf(photo)
	if err == nil {
		err = p.named(events)
	}
	if err != nil {
		return nil, fmt.Errorf("NOT recorded: %w", err)
	}
	return db.record(p, events)
}

// A photo is a photograph with its name. The zero photo is none.
type photo struct {
	sum, mediaType string
	bytes          []byte
}

func photoOf(bytes []byte) (photo, error) {
	mediaType := tracker.PhotoType(bytes)
	switch {
	case len(bytes) == 0:
		return photo{}, faultf(ErrPhoto, "the photograph is empty (0 bytes)")
	case len(bytes) > tracker.MaxPhoto:
		return photo{}, faultf(ErrPhoto, "the photograph has %d MB, and at most %d MB are kept; save it smaller", megabytes(len(bytes)), megabytes(tracker.MaxPhoto))
	case mediaType == "":
		return photo{}, faultf(ErrPhoto, "the photograph is neither JPEG, PNG nor WebP by its first bytes; save it as JPEG")
	}
	return photo{tracker.PhotoSum(bytes), mediaType, bytes}, nil
}

// megabytes rounds up.
func megabytes(n int) int { return (n + 999_999) / 1_000_000 }

// named checks that some event names p, and each that does so has its type.
func (p photo) named(events []tracker.Event) error {
	found := false
	for _, e := range events {
		if e.Photo != p.sum {
			continue
		}
		if err := p.fits(e); err != nil {
			return err
		}
		found = true
	}
	if !found {
		return faultf(ErrPhoto, "no event names the photograph %s", p.sum)
	}
	return nil
}

// fits checks that p is the photograph that e names.
func (p photo) fits(e tracker.Event) error {
	switch {
	case p.sum != e.Photo:
		return faultf(ErrPhoto, "event %q names the photograph %s; the bytes given are of another, %s", e.ID, e.Photo, p.sum)
	case p.mediaType != e.PhotoType:
		return faultf(ErrPhoto, "event %q calls the photograph %s %s; by its first bytes it is %s", e.ID, p.sum, e.PhotoType, p.mediaType)
	}
	return nil
}

// Photo returns the bytes of a photograph by its SHA-256 in hexadecimal.
// fs.ErrNotExist: the study holds no such photograph. ErrDamaged: the bytes are
// not those that were kept.
func (db *DB) Photo(sum string) ([]byte, error) {
	db.mu.Lock()
	defer db.mu.Unlock()
	raw, ok := sumOf(sum)
	if !ok {
		return nil, faultf(fs.ErrNotExist, "%q does not name a photograph: that takes the 64 small hexadecimal digits of its SHA-256", sum)
	}
	all, err := db.log.photo(raw)
	switch {
	case err != nil:
		return nil, explain(db.log.path, err)
	case all == nil:
		return nil, faultf(fs.ErrNotExist, "%s holds no photograph %s", db.log.path, sum)
	case tracker.PhotoSum(all) != sum:
		return nil, damaged(db.log.path, fmt.Sprintf("the bytes of the photograph %s were changed", sum))
	}
	return all, nil
}

// EachPhoto calls do with every photograph that events name, once each, in the
// order of the log. It stops at the first error. ErrDamaged: one is missing or
// was changed.
func (db *DB) EachPhoto(do func(sum, mediaType string, photo []byte) error) error {
	rec, err := db.State()
	if err != nil {
		return err
	}
	for _, e := range photographs(rec) {
		bytes, err := db.Photo(e.Photo)
		if errors.Is(err, fs.ErrNotExist) {
			err = damaged(db.log.path, missingPhoto(e.Seq, e.Photo))
		}
		if err != nil {
			return err
		}
		if err := do(e.Photo, e.PhotoType, bytes); err != nil {
			return err
		}
	}
	return nil
}

// photographs lists the first event of each photograph, in the order of the log.
func photographs(rec *tracker.Record) (first []tracker.Event) {
	seen := map[string]bool{}
	for _, e := range rec.Events() {
		if e.Photo != "" && !seen[e.Photo] {
			seen[e.Photo] = true
			first = append(first, e)
		}
	}
	return first
}

// sumOf reads a SHA-256 in its one spelling.
func sumOf(text string) ([]byte, bool) {
	raw, err := hex.DecodeString(text)
	return raw, err == nil && len(raw) == sha256.Size && hex.EncodeToString(raw) == text
}

// secure makes sure that the photograph which a new event names is in the
// file. A transaction is open.
func (log *eventLog) secure(e tracker.Event, p photo) error {
	switch {
	case e.Kind == tracker.PlanAmended:
		return log.makeRoom()
	case e.Photo == "":
		return nil
	case e.Photo == p.sum:
		return log.addPhoto(p)
	}
	raw, _ := sumOf(e.Photo) // the codec took it
	held, err := log.photo(raw)
	if err == nil && held == nil {
		err = faultf(ErrPhoto, "event %q names the photograph %s, whose bytes are not in the study", e.ID, e.Photo)
	}
	return err
}

// addPhoto stores a photograph that is not in the file yet.
func (log *eventLog) addPhoto(p photo) error {
	if err := log.makeRoom(); err != nil {
		return err
	}
	raw, _ := sumOf(p.sum)
	held, err := log.photo(raw)
	switch {
	case err != nil:
		return err
	case held == nil:
		return log.exec("INSERT INTO photos(sha256, bytes) VALUES(?, ?)", raw, p.bytes)
	case !bytes.Equal(held, p.bytes):
		return damaged(log.path, fmt.Sprintf("the bytes of the photograph %s were changed", p.sum))
	}
	return nil
}

// makeRoom gives a study that never held a photograph the table for them.
func (log *eventLog) makeRoom() error {
	version, err := log.pragma("user_version")
	if err != nil || version >= photoFormat {
		return err
	}
	return log.exec(fmt.Sprintf("%s PRAGMA user_version=%d", photoSchema, photoFormat))
}

// photo reads the bytes kept under a hash, as they are; nil when there are none.
func (f *file) photo(sum []byte) (all []byte, err error) {
	if there, err := f.hasPhotos(); err != nil || !there {
		return nil, err
	}
	err = f.conn.QueryRowContext(context.Background(), "SELECT bytes FROM photos WHERE sha256 = ?", sum).Scan(&all)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if all == nil {
		all = []byte{} // kept, and emptied since
	}
	return all, err
}

// hasPhotos looks for the table itself: the header may say otherwise.
func (f *file) hasPhotos() (there bool, err error) {
	err = f.conn.QueryRowContext(context.Background(),
		"SELECT EXISTS(SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'photos')").Scan(&there)
	return there, err
}

// photoProblems compares the photographs of the file with those that its
// events name.
func (f *file) photoProblems(rows []row) ([]string, error) {
	named := photosNamed(rows)
	problems, err := f.damagedPhotos(named)
	if err != nil {
		return nil, err
	}
	for _, r := range rows { // what is left was not found; in the order of the log
		if e, err := Decode(r.body); err == nil && e.Photo != "" && named[e.Photo] == r.seq {
			problems = append(problems, missingPhoto(r.seq, e.Photo))
		}
	}
	return problems, nil
}

func missingPhoto(seq int64, sum string) string {
	return fmt.Sprintf("event %d: its photograph %s is missing", seq, sum)
}

// photosNamed maps each photograph to the first event that names it.
func photosNamed(rows []row) map[string]int64 {
	named := map[string]int64{}
	for _, r := range rows {
		e, err := Decode(r.body)
		if err != nil || e.Photo == "" {
			continue
		}
		if _, known := named[e.Photo]; !known {
			named[e.Photo] = r.seq
		}
	}
	return named
}

// damagedPhotos hashes every photograph in the file, one at a time, and strikes
// it from those that are named.
func (f *file) damagedPhotos(named map[string]int64) (problems []string, err error) {
	if there, err := f.hasPhotos(); err != nil || !there {
		return nil, err
	}
	rows, err := f.conn.QueryContext(context.Background(), "SELECT sha256, bytes FROM photos ORDER BY rowid")
	if err != nil {
		return nil, err
	}
	for rows.Next() {
		var sum, all sql.RawBytes
		if err = rows.Scan(&sum, &all); err != nil {
			break
		}
		name := hex.EncodeToString(sum)
		seq, known := named[name]
		switch {
		case !known:
			problems = append(problems, fmt.Sprintf("the photograph %s belongs to no event", name))
		case tracker.PhotoSum(all) != name:
			problems = append(problems, fmt.Sprintf("event %d: the bytes of its photograph %s were changed", seq, name))
		}
		delete(named, name)
	}
	return problems, errors.Join(err, rows.Err(), rows.Close())
}
