package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// The causes that a caller may tell apart with errors.Is. A missing file is
// fs.ErrNotExist and a target that exists already is fs.ErrExist.
var (
	ErrEmpty      = errors.New("empty file")
	ErrFolder     = errors.New("a folder")
	ErrNotSoaktag = errors.New("not a soaktag study")
	ErrNewer      = errors.New("written by a newer soaktag")
	ErrBackup     = errors.New("a backup copy")
	ErrReadOnly   = errors.New("read-only")
	ErrDamaged    = errors.New("damaged")
	ErrBusy       = errors.New("busy")
	ErrFull       = errors.New("disk full")
	ErrMoved      = errors.New("moved away")
	ErrLine       = errors.New("bad line of a log")
	ErrPhoto      = errors.New("not a photograph to be kept")
	ErrUnknown    = errors.New("recorded or not")
)

// A fault is a sentence for a person, with a cause for the caller.
type fault struct {
	text  string
	cause error
}

func (f *fault) Error() string { return f.text }

func (f *fault) Unwrap() error { return f.cause }

func faultf(cause error, format string, args ...any) error {
	return &fault{fmt.Sprintf(format, args...), cause}
}

// damaged is the one sentence of every read that met damage.
func damaged(path, what string) error {
	return faultf(ErrDamaged, "%s is damaged: %s; see all of it with `soaktag verify --study %q`, then put the last backup back with "+
		"`soaktag restore BACKUP --study NEW.soaktag`", path, what, path)
}

// taken is the sentence for a file that must not be overwritten.
func taken(path string) error {
	return faultf(fs.ErrExist, "%s exists already and is never overwritten; choose another name", path)
}

// explain turns what the database says about path into a sentence. Errors
// that need none are returned as they are.
func explain(path string, err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	if e.Code() == sqlite3.SQLITE_IOERR_SHMSIZE { // how a full disk looks when a study is opened, and one that fails then
		return faultf(ErrFull, "no space left for %s, or its disk failed; make room on the disk and try again", path)
	}
	switch e.Code() & 0xff { // the primary code; extended ones only refine it
	case sqlite3.SQLITE_BUSY:
		return faultf(ErrBusy, "another process is writing to %s; try again when it has finished", path)
	case sqlite3.SQLITE_FULL:
		return full(path)
	case sqlite3.SQLITE_READONLY:
		return readOnly(path)
	case sqlite3.SQLITE_NOTADB:
		return notSoaktag(path)
	case sqlite3.SQLITE_CORRUPT: // also what the disk cannot read, by the database's word
		if err := readable(path); err != nil {
			return fmt.Errorf("%s cannot be read: its disk failed (%w); copy what can be read to another disk, and try there", path, err)
		}
		return damaged(path, "the database file itself is broken")
	case sqlite3.SQLITE_CANTOPEN:
		return faultf(errors.Join(ErrReadOnly, fs.ErrPermission), "%s cannot be opened; allow reading and writing the file and its folder", path)
	case sqlite3.SQLITE_IOERR:
		return fmt.Errorf("the disk of %s failed or has no space left; free some space and try again: %w", path, err)
	}
	return fmt.Errorf("%s: %w", path, err)
}

// notKept says why events are not in the study that was read again. After a sync that
// failed they may lie in the journal all the same, complete: this connection passes them
// over, but whoever opens the study next takes them for recorded.
func notKept(path string, cause error) error {
	var e *sqlite.Error
	if errors.As(cause, &e) && e.Code() == sqlite3.SQLITE_IOERR_FSYNC {
		return unknown(path, cause)
	}
	return fmt.Errorf("NOT recorded: %w", explain(path, cause))
}

func unknown(path string, cause error) error {
	return faultf(errors.Join(ErrUnknown, explain(path, cause)), "it is NOT known whether this was recorded: the disk of %s failed while it was to be kept; when the disk "+
		"works again look first (`soaktag history CODE --study %q`), and enter only what is missing: %v", path, path, explain(path, cause))
}

// readable reads a file to its end.
func readable(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return nil // that is said otherwise
	}
	defer f.Close()
	_, err = io.Copy(io.Discard, f)
	return err
}

func full(path string) error {
	return faultf(ErrFull, "no space left for %s; make room on the disk and try again", path)
}

func readOnly(path string) error {
	return faultf(ErrReadOnly, "%s cannot be written; allow writing to the file and to its folder", path)
}

func notSoaktag(path string) error {
	return faultf(ErrNotSoaktag, "%s is not a soaktag study, or its first page is damaged; check the name given with --study", path)
}
