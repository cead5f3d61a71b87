package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	_ "modernc.org/sqlite" // registers the driver "sqlite"
)

// A file is one open database with its single connection, so that what was set
// and read back at open holds for every statement.
type file struct {
	path     string
	mode     access
	made     []string // beside the file by this connection, to be cleared away
	pool     *sql.DB
	conn     *sql.Conn
	prepared []*sql.Stmt
}

// access says how a file is opened.
type access string

const (
	readWrite access = "rw" // never creates: a mistyped name must not make an empty study
	reading   access = "ro"
	frozen    access = "frozen" // where the database can write nothing at all, and need not
	alone     access = "alone"  // where the disk has no room for what several need to share the file
)

// dsn spells path so that ?, #, % and spaces in it survive.
func dsn(path string, mode access) (string, error) {
	full, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	full = filepath.ToSlash(full)
	if !strings.HasPrefix(full, "/") {
		full = "/" + full // a drive letter
	}
	u := url.URL{Scheme: "file", Path: full, RawQuery: options(mode).Encode()}
	return u.String(), nil
}

// options are the settings of a connection. The journal mode is not among
// them: it belongs to the file, and naming it would convert a foreign one.
func options(mode access) url.Values {
	q := url.Values{"mode": {string(mode)}, "_defensive": {"1"}, "_dqs": {"0"}}
	switch mode {
	case frozen:
		q.Set("mode", string(reading))
		q.Set("immutable", "1")
	case alone:
		q.Set("mode", string(readWrite))
		q.Add("_pragma", "locking_mode(exclusive)") // the index of the journal is then in memory, not in a file
	}
	for _, s := range settings(mode) {
		q.Add("_pragma", fmt.Sprintf("%s(%d)", s.name, s.value))
	}
	return q
}

type setting struct {
	name  string
	value int64
}

// walPages is how long the journal gets before it is moved into the file, in pages of
// 4 KB: by default every other photograph would wait for that.
const walPages = 8000

// settings are read back at open, because a mistyped one is silently ignored.
// The last two flush the drive's own cache on systems where a sync does not.
func settings(mode access) []setting {
	all := []setting{{"busy_timeout", 15000}, {"synchronous", 2}, {"recursive_triggers", 1}, {"fullfsync", 1}, {"checkpoint_fullfsync", 1}}
	if mode == alone { // the driver goes by the alphabet, and cache_size opens the journal: before locking_mode
		return all
	}
	return append(all, setting{"cache_size", -16000}, setting{"wal_autocheckpoint", walPages})
}

// openFile opens an existing database, whatever is in it.
func openFile(path string, mode access) (*file, error) {
	name, err := dsn(path, mode)
	if err != nil {
		return nil, err
	}
	pool, err := sql.Open("sqlite", name)
	if err != nil {
		return nil, fmt.Errorf("opening %s: %w", path, err)
	}
	conn, err := pool.Conn(context.Background())
	if err != nil {
		return nil, errors.Join(explain(path, err), pool.Close())
	}
	f := &file{path: path, mode: mode, pool: pool, conn: conn}
	if err := f.readBack(); err != nil {
		return nil, errors.Join(explain(path, err), f.close())
	}
	return f, nil
}

// openStudy opens a file after making sure that it is a study of ours.
func openStudy(path string, mode access) (*file, error) {
	if err := look(path, mode); err != nil {
		return nil, err
	}
	f, err := openFile(path, mode)
	if err != nil {
		return nil, err
	}
	if err := f.ours(); err != nil {
		return nil, errors.Join(explain(path, err), f.close())
	}
	return f, nil
}

// openToRead opens a study that will only be read, also where nothing can be
// written and on a full disk. Where it can be, the database must be free to clear its journal away
// on closing, as after any other command.
func openToRead(path string) (*file, error) {
	f, err := openStudy(path, readWrite)
	full, readOnly := errors.Is(err, ErrFull), errors.Is(err, ErrReadOnly)
	switch {
	case !full && !readOnly:
		return f, err
	case !unfinished(path):
		return openStudy(path, frozen)
	case full:
		return openStudy(path, alone)
	}
	return openBesideJournal(path)
}

// unfinished reports whether a part of the study is still in a journal beside
// it, so that the file alone is not the study.
func unfinished(path string) bool {
	for _, tail := range []string{"-wal", "-journal"} {
		if info, err := os.Stat(path + tail); err == nil && info.Size() > 0 {
			return true
		}
	}
	return false
}

// openBesideJournal reads a study of which a part is in a journal. What the
// database puts beside it would have the study's own permissions, and stop
// whoever wants to write later.
func openBesideJournal(path string) (*file, error) {
	var missing []string
	for _, tail := range journals() {
		if _, err := os.Lstat(path + tail); errors.Is(err, fs.ErrNotExist) {
			missing = append(missing, path+tail)
		}
	}
	f, err := openStudy(path, reading)
	if errors.Is(err, ErrReadOnly) {
		return nil, faultf(ErrReadOnly, "%s cannot be read where it is: a part of it is still in the journal beside it, and nothing can be "+
			"written there; copy all files whose names begin with %s into a folder of your own and read them there", path, filepath.Base(path))
	}
	if err == nil {
		f.made = missing
	}
	return f, err
}

// look tells apart, before any database is involved, what the database would
// all call "unable to open".
func look(path string, mode access) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return faultf(fs.ErrNotExist, "%s does not exist; begin a study with `soaktag begin PLAN.toml --study %q`", path, path)
	case err != nil:
		return fmt.Errorf("looking at the study: %w", err)
	case info.IsDir():
		return faultf(ErrFolder, "%s is a folder; name the .soaktag file in it", path)
	case info.Size() == 0:
		return faultf(ErrEmpty, "%s is empty (0 bytes) and holds no study; put a backup back with `soaktag restore BACKUP --study NEW.soaktag`", path)
	case mode == readWrite && unwritable(path, info):
		return readOnly(path)
	}
	return nil
}

// unwritable looks at the permissions of the file and of its folder, where the
// database needs to put its journal.
func unwritable(path string, info fs.FileInfo) bool {
	folder, err := os.Stat(filepath.Dir(path))
	const anyone = 0o222
	return info.Mode().Perm()&anyone == 0 || err == nil && folder.Mode().Perm()&anyone == 0
}

// ours checks the marks in the header before anything else is read.
func (f *file) ours() error {
	app, err := f.pragma("application_id")
	if err != nil {
		return err
	}
	version, err := f.pragma("user_version")
	switch {
	case err != nil:
		return err
	case app != applicationID:
		return notSoaktag(f.path)
	case version > mergedFormat:
		return faultf(ErrNewer, "%s was written by a newer soaktag (format %d, this one reads up to %d); install the newer soaktag",
			f.path, version, mergedFormat)
	case version < plainFormat:
		return damaged(f.path, fmt.Sprintf("it says format %d, which never existed", version))
	}
	return nil
}

func (f *file) pragma(name string) (v int64, err error) {
	err = f.conn.QueryRowContext(context.Background(), "PRAGMA "+name).Scan(&v)
	return v, err
}

func (f *file) readBack() error {
	for _, s := range settings(f.mode) {
		got, err := f.pragma(s.name)
		if err != nil {
			return err
		}
		if got != s.value {
			return fmt.Errorf("%s: the database took %s as %d, not %d", f.path, s.name, got, s.value)
		}
	}
	return nil
}

// journal returns the journal mode that the file is in: "wal", or "delete" for
// a backup copy.
func (f *file) journal() (mode string, err error) {
	err = f.conn.QueryRowContext(context.Background(), "PRAGMA journal_mode").Scan(&mode)
	return mode, err
}

// setWAL makes the file a study to write to. Only this journal, with
// synchronous=FULL, lost nothing at a simulated power cut.
func (f *file) setWAL() error {
	var mode string
	err := f.conn.QueryRowContext(context.Background(), "PRAGMA journal_mode=WAL").Scan(&mode)
	if err == nil && mode != "wal" {
		err = fmt.Errorf("%s: the journal stays in mode %q; a study needs a disk of this computer", f.path, mode)
	}
	return err
}

func (f *file) exec(query string, args ...any) error {
	_, err := f.conn.ExecContext(context.Background(), query, args...)
	return err
}

func (f *file) prepare(query string) (*sql.Stmt, error) {
	stmt, err := f.conn.PrepareContext(context.Background(), query)
	if err == nil {
		f.prepared = append(f.prepared, stmt)
	}
	return stmt, err
}

// close closes the statements first: a connection with open ones stays open,
// and keeps its journal, without saying so.
func (f *file) close() (err error) {
	for _, stmt := range f.prepared {
		err = errors.Join(err, stmt.Close())
	}
	err = errors.Join(err, f.conn.Close(), f.pool.Close())
	for _, name := range f.made {
		_ = os.Remove(name) // most of them are not there
	}
	return err
}

// build makes a new file at path all or nothing: fill gets an empty file beside
// it, which is synced and given its name only when fill succeeded. A file that
// exists is never overwritten.
func build(path string, fill func(temp string) error) (err error) {
	if err := free(path); err != nil {
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
	if err := fill(temp); err != nil {
		return err
	}
	if _, err := os.Stat(temp + "-wal"); err == nil {
		return fmt.Errorf("%s was not finished: a part of it is still in a journal", path)
	}
	if err := syncPath(temp, os.O_RDWR); err != nil {
		return fmt.Errorf("flushing %s to the disk: %w", path, err)
	}
	if err := free(path); err != nil { // again: filling took its time
		return err
	}
	return place(temp, path)
}

// journals are the endings of the files that the database keeps beside its own.
func journals() []string { return []string{"-wal", "-shm", "-journal"} }

// free refuses a name that is taken, and one beside which a journal lies: the
// database would take what is in it for a part of the new file, and damage it.
func free(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return taken(path)
	}
	if left := leftBehind(path); len(left) > 0 {
		return faultf(fs.ErrExist, "there is no %s, but %s: these belong to another study file; move all of them together, or choose another name",
			path, strings.Join(left, " and "))
	}
	return nil
}

// leftBehind lists the journals that lie beside path.
func leftBehind(path string) (left []string) {
	for _, tail := range append(journals(), witnessTail, lostTail) {
		if _, err := os.Lstat(path + tail); err == nil {
			left = append(left, path+tail)
		}
	}
	return left
}

func unwritableFolder(path string, err error) error {
	dir := filepath.Dir(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return faultf(fs.ErrNotExist, "the folder %s does not exist; make it first", dir)
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return faultf(ErrReadOnly, "the folder %s cannot be written; allow writing or choose another", dir)
	}
	return fmt.Errorf("making a file beside %s: %w", path, err)
}

// place gives temp its name. A link fails where the name is taken, a rename
// would overwrite it; where there are no links the name is looked at again.
func place(temp, path string) error {
	err := os.Link(temp, path)
	if errors.Is(err, fs.ErrExist) {
		return taken(path)
	}
	if err != nil {
		if _, err := os.Lstat(path); err == nil {
			return taken(path)
		}
		if err := os.Rename(temp, path); err != nil {
			return fmt.Errorf("naming the finished file: %w", err)
		}
	}
	_ = syncPath(filepath.Dir(path), os.O_RDONLY) // some systems cannot sync a folder; the file itself is synced
	return nil
}

func syncPath(path string, flag int) error {
	f, err := os.OpenFile(path, flag, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
