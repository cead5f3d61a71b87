// Package store keeps the event log of a study in one file.
//
// The file is an SQLite database with the marks of soaktag in its header. An
// event is one row: its canonical bytes (see Encode) and the hash of a chain
// over the bytes of all events up to it,
//
//	h₀ = SHA-256("soaktag event log 1")    hₙ = SHA-256(hₙ₋₁ ‖ bodyₙ)
//
// The chain finds what the database itself does not: a flipped bit in a note,
// an event taken out, put in or moved. The count and hash of the last event
// stand once more in a row of their own, so that a tail that was cut off is
// missed as well. It is evidence against accidents, not a signature: whoever
// can rewrite the file can rewrite the chain. The head hash printed in backups
// and reports is what a rewritten file would not fit.
//
// Photographs lie in a table of their own, under the SHA-256 of their bytes.
// The event that keeps one names that hash, so that the chain vouches for the
// bytes as well.
//
// What is said to be recorded is on the disk: write-ahead log, full syncs, one
// immediate transaction a call. Nothing computable is stored; a DB folds the
// log into a tracker.Record when it opens and goes on from there.
package store

import (
	"errors"
	"fmt"
	"sync"

	"soaktag/tracker"
)

// A DB is an open study. It may be used by several goroutines, and several
// processes may have the same file open.
type DB struct {
	mu   sync.Mutex
	log  *eventLog
	read tracker.PlanReader
	rec  *tracker.Record // the fold of the log up to at
	at   link
	id   identity

	first   hash // of the event that began the study
	witness witnessing
	moving  moving
	loss    *Loss

	// Progress, where it is set, is told now and then how many of the events of a
	// Record were taken up. None is on the disk before Record returns.
	Progress func(done, of int)
}

// Create is Make, and opens the study.
func Create(path string, begun tracker.Event, read tracker.PlanReader) (*DB, error) {
	if err := Make(path, begun, read); err != nil {
		return nil, err
	}
	return Open(path, read)
}

// Make begins a study: it makes the file at path with begun as its first event.
// It fails, and leaves no file, when path exists (fs.ErrExist), its folder cannot
// be written (ErrReadOnly), or the plan in begun cannot be read. Once the file has
// its name nothing is done that could fail.
func Make(path string, begun tracker.Event, read tracker.PlanReader) error {
	if begun.Kind != tracker.Begun {
		return fmt.Errorf("beginning a study: the first event is of kind %q, not %q", begun.Kind, tracker.Begun)
	}
	body := Encode(begun)
	first, err := Decode(body)
	if err != nil {
		return fmt.Errorf("beginning a study: %w", err)
	}
	if _, err := tracker.NewRecord(read).Add(first); err != nil {
		return err
	}
	return create(path, func(log *eventLog, at link) error {
		return log.commitAll(at, []entry{{first.ID, body}})
	})
}

// Open opens a study and reads its log. A file that is missing
// (fs.ErrNotExist), a folder (ErrFolder), empty (ErrEmpty), not ours
// (ErrNotSoaktag), newer than this program (ErrNewer), a backup copy
// (ErrBackup), not writable (ErrReadOnly) or damaged (ErrDamaged) is refused.
func Open(path string, read tracker.PlanReader) (*DB, error) {
	f, err := openStudy(path, readWrite)
	if err != nil {
		return nil, err
	}
	return opened(f, read)
}

// OpenToRead opens a study that nothing will be recorded in, also where
// nothing can be written: a folder or disk that is read-only, or full. Record
// fails there with ErrReadOnly or ErrFull. Otherwise it is Open.
func OpenToRead(path string, read tracker.PlanReader) (*DB, error) {
	f, err := openToRead(path)
	if err != nil {
		return nil, err
	}
	return opened(f, read)
}

func opened(f *file, read tracker.PlanReader) (*DB, error) {
	db, err := open(f, read)
	if err != nil {
		return nil, errors.Join(explain(f.path, err), f.close())
	}
	return db, nil
}

func open(f *file, read tracker.PlanReader) (*DB, error) {
	mode, err := f.journal()
	if err != nil {
		return nil, err
	}
	if mode != "wal" && f.mode != frozen { // frozen, the mode does not show
		return nil, faultf(ErrBackup, "%s is a backup copy, not a study to work on; make a study of it with "+
			"`soaktag restore %q --study NEW.soaktag`", f.path, f.path)
	}
	before := witnesses(f.path)
	db, err := folded(f, read)
	if err != nil {
		return nil, err
	}
	if db.loss, err = missed(f.path, db.at.count, f.hashAt, before); err != nil || f.mode != readWrite {
		return db, err
	}
	keepLoss(f.path, db.loss)
	db.witness.name = f.path + witnessTail
	if db.first, _, err = f.hashAt(1); err != nil {
		return nil, err
	}
	db.id, err = identify(f.path)
	return db, err
}

// folded reads the log of a file.
func folded(f *file, read tracker.PlanReader) (*DB, error) {
	log, err := newEventLog(f)
	if err != nil {
		return nil, err
	}
	db := &DB{log: log, read: read}
	db.forget()
	return db, db.refresh()
}

// Lost says what the study was found to fall short of when it was opened; nil for
// nothing.
func (db *DB) Lost() *Loss { return db.loss }

// Close closes the file. Nothing is lost without it.
func (db *DB) Close() error {
	db.mu.Lock()
	defer db.mu.Unlock()
	if db.moving.ended = true; db.moving.pause != nil {
		db.moving.pause.Stop()
	}
	err := db.log.close()
	db.witness.close(db.log.path)
	return err
}

// State returns the record after reading what other processes have written.
// It belongs to the DB: look at it, do not add to it, do not keep it across a
// call of Record, and do not read it while another goroutine calls the DB.
func (db *DB) State() (*tracker.Record, error) {
	db.mu.Lock()
	defer db.mu.Unlock()
	if err := db.refresh(); err != nil {
		return nil, explain(db.log.path, err)
	}
	return db.rec, nil
}

// Head returns the hash of the last event in hexadecimal and the number of
// events, as they stand in the file now.
func (db *DB) Head() (head string, events int64, err error) {
	db.mu.Lock()
	defer db.mu.Unlock()
	at, err := db.log.end()
	if err != nil {
		return "", 0, explain(db.log.path, err)
	}
	return at.hash.String(), at.count, nil
}

// forget empties the record, so that the next refresh folds the whole log.
func (db *DB) forget() { db.rec, db.at = tracker.NewRecord(db.read), start() }

// refresh folds what is new in the file, as of one instant.
func (db *DB) refresh() error {
	if err := run(db.log.begin); err != nil {
		return err
	}
	return errors.Join(db.catchUp(), run(db.log.commit))
}

// catchUp folds what is new; a transaction is open.
func (db *DB) catchUp() error {
	end, err := db.log.end()
	if err != nil || end == db.at {
		return err
	}
	at, err := db.log.fold(db.at, end, db.rec)
	if err != nil {
		db.forget() // it may have taken a part
		return err
	}
	db.at = at
	return nil
}
