package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"soaktag/tracker"
)

// Backup writes a checked copy of the study to path, which must not exist. The
// copy is of one instant, whoever is writing. It is not a study to work on
// until Restore makes one of it.
func (db *DB) Backup(path string) error {
	db.mu.Lock()
	defer db.mu.Unlock()
	return build(path, func(temp string) error { return db.log.copyTo(temp, path) })
}

// BackupAgain is Backup in place of an older backup of this study, which stays
// until the new one is whole. Whatever else has the name, and a backup that holds
// an event that this study does not, is refused (fs.ErrExist).
func (db *DB) BackupAgain(path string) (err error) {
	db.mu.Lock()
	defer db.mu.Unlock()
	if err := db.log.outgrew(path); err != nil {
		return err
	}
	temp, err := emptyBeside(path)
	if err != nil {
		return err
	}
	defer func() {
		removeParts(temp)
		err = underName(err, temp, path)
	}()
	if err := errors.Join(db.log.copyTo(temp, path), syncPath(temp, os.O_RDWR)); err != nil {
		return err
	}
	if err := os.Rename(temp, path); err != nil {
		return fmt.Errorf("naming the finished file: %w", err)
	}
	_ = syncPath(filepath.Dir(path), os.O_RDONLY) // as place does
	return nil
}

// outgrew refuses a file that is no backup of what this log began with. The hash
// of an event vouches for all before it.
func (f *file) outgrew(path string) error {
	if !IsBackup(path) || len(leftBehind(path)) > 0 {
		return faultf(fs.ErrExist, "%s is there already and is no backup, so it is never overwritten; choose another name", path)
	}
	older := Verify(path)
	ours, err := f.texts(fmt.Sprintf("SELECT lower(hex(hash)) FROM event WHERE seq = %d", older.Events))
	if err != nil {
		return explain(f.path, err)
	}
	if len(ours) != 1 || ours[0] != older.Head {
		return faultf(fs.ErrExist, "%s is a backup of another study, or holds what %s does not, so it is never overwritten; choose another name", path, f.path)
	}
	return nil
}

// copyTo writes the database into the empty file temp, which will have the name
// to, and checks the copy.
func (f *file) copyTo(temp, to string) error {
	if err := f.exec("VACUUM INTO ?", temp); err != nil {
		return fmt.Errorf("copying: %w", explain(f.copyFault(err, to), err))
	}
	c, err := openFile(temp, reading)
	if err != nil {
		return err
	}
	r, err := c.examine()
	if err := errors.Join(explain(f.path, err), c.close()); err != nil {
		return err
	}
	return whole(f.path, r)
}

// copyFault says which of the two files an error of copying is about: what the
// database cannot read is ours, what it cannot write the copy.
func (f *file) copyFault(err error, to string) string {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return f.path
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY:
		return to
	case sqlite3.SQLITE_IOERR:
		if e.Code() != sqlite3.SQLITE_IOERR_READ && e.Code() != sqlite3.SQLITE_IOERR_SHORT_READ {
			return to
		}
	}
	return f.path
}

// whole turns the problems of a report into one error.
func whole(path string, r Report) error {
	switch n := len(r.Problems); n {
	case 0:
		return nil
	case 1:
		return damaged(path, r.Problems[0])
	default:
		return damaged(path, fmt.Sprintf("%s; and %d more", r.Problems[0], n-1))
	}
}

// Restore makes a study at the path to, which must not exist, of the backup at
// from. A backup that is damaged or cannot be folded is refused, and nothing is
// left behind. A study is taken as well as a backup.
func Restore(from, to string, read tracker.PlanReader) error {
	f, err := openToRead(from)
	if err != nil {
		return err
	}
	err = build(to, func(temp string) error {
		if err := f.copyTo(temp, to); err != nil {
			return err
		}
		return makeStudy(temp, to, read)
	})
	return errors.Join(err, f.close())
}

// makeStudy turns a checked copy, which will have the name to, into a study to
// work on and reads it once.
func makeStudy(temp, to string, read tracker.PlanReader) error {
	f, err := openFile(temp, readWrite)
	if err != nil {
		return err
	}
	if err := f.setWAL(); err != nil {
		return errors.Join(explain(to, err), f.close())
	}
	db, err := open(f, read)
	if err != nil {
		return errors.Join(explain(to, err), f.close())
	}
	return db.Close()
}
