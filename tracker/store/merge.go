package store

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"

	"soaktag/tracker"
)

// IsStudy reports whether the file at path has the marks of a study or a backup in
// its header. It is false for what cannot be read. Not for a file that is open as a
// study: opening and closing it again would drop the locks on it.
func IsStudy(path string) bool {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() { // a pipe would have us wait for ever
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var header [72]byte
	_, err = io.ReadFull(f, header[:])
	return err == nil && binary.BigEndian.Uint32(header[68:]) == applicationID
}

// OpenCopy opens a study or a backup that nothing will be recorded in. The errors are
// those of OpenToRead, without ErrBackup.
func OpenCopy(path string, read tracker.PlanReader) (*DB, error) {
	f, err := openToRead(path)
	if err != nil {
		return nil, err
	}
	db, err := folded(f, read)
	if err != nil {
		return nil, errors.Join(explain(path, err), f.close())
	}
	return db, nil
}

// Path is the file as it was named when it was opened.
func (db *DB) Path() string { return db.log.path }

// Merge appends events that were recorded in another copy of this study, in their
// order, with the photographs that they name and this file does not have: all of it
// in one transaction, or nothing. An event whose id is known is passed over. Unlike
// Record it takes what contradicts what was recorded here: the record asks. The
// errors are those of Record, and of photos.
func (db *DB) Merge(events []tracker.Event, photos PhotoReader) error {
	db.mu.Lock()
	defer db.mu.Unlock()
	entries, kept, err := canonical(events)
	if err != nil {
		return fmt.Errorf("NOT recorded: %w", err)
	}
	if err := run(db.log.immediate); err != nil {
		return fmt.Errorf("NOT recorded: %w", explain(db.log.path, err))
	}
	if err := db.merge(entries, kept, photos); err != nil {
		_, err = db.recover(kept, err)
		return err
	}
	db.recorded()
	return nil
}

func (db *DB) merge(entries []entry, events []tracker.Event, photos PhotoReader) error {
	if err := db.catchUp(); err != nil {
		return err
	}
	if err := db.log.moveOn(events); err != nil {
		return err
	}
	anything := func(tracker.Event) error { return nil } // what contradicts asks
	return db.take(entries, events, anything, func(e tracker.Event) error { return db.log.bring(e, photos) })
}

// bring takes over the photograph that an event names, unless it is here already.
func (log *eventLog) bring(e tracker.Event, photos PhotoReader) error {
	if e.Photo == "" {
		return nil
	}
	raw, _ := sumOf(e.Photo) // the codec took it
	if held, err := log.photo(raw); err != nil || held != nil {
		return err
	}
	p, err := photos.photo(e)
	if err != nil {
		return err
	}
	return log.addPhotoOf(e, p)
}

// makeRoomForMerged moves a study on to the format that knows of other notebooks.
func (log *eventLog) makeRoomForMerged() error {
	if err := log.makeRoom(); err != nil {
		return err
	}
	version, err := log.pragma("user_version")
	if err != nil || version >= mergedFormat {
		return err
	}
	return log.exec(fmt.Sprintf("PRAGMA user_version=%d", mergedFormat))
}
