package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"
)

// writeNew writes a file that must not exist yet: nothing of the user's is
// overwritten. The file is complete and on disk under its name, or not there.
func writeNew(path string, write func(io.Writer) error) error {
	if err := mustBeNew(path); err != nil {
		return err
	}
	return replace(path, write)
}

// mustBeNew refuses a name that is taken, or that lies in no folder.
func mustBeNew(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return usageError("%s is there already and is never overwritten; name another file, or move it away first", path)
	}
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
		return fmt.Errorf("write %s: its folder does not exist or cannot be written to", path)
	}
	return nil
}

// replace writes path under a temporary name beside it, syncs and renames, so
// that a reader sees the old file or the whole new one.
func replace(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".soaktag-*")
	if err != nil {
		return fmt.Errorf("write %s: its folder does not exist or cannot be written to (%w)", path, cause(err))
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, discard(f))
		}
	}()
	if err := write(f); err != nil {
		return err
	}
	if err := errors.Join(f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}

// cause is an error of the file system without the name it happened to, which
// for a temporary file tells a person nothing.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// discard removes what is left of a temporary file, closed or not.
func discard(f *os.File) error {
	if err := f.Close(); err != nil && !errors.Is(err, os.ErrClosed) {
		return err
	}
	if err := os.Remove(f.Name()); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	return nil
}

// stamp is the moment written into output files: SOURCE_DATE_EPOCH where that
// is set, so that the same input gives the same bytes, else now.
func (s *session) stamp() (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		return s.now(), nil
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return time.Time{}, usageError("SOURCE_DATE_EPOCH %q is not a number of seconds", text)
	}
	return time.Unix(seconds, 0).UTC(), nil
}
