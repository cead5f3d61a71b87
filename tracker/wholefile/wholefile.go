// Package wholefile opens files that a person named, and writes a file whole or not at all: whoever looks sees what
// was there before, or all of what is there now, also after a power cut.
package wholefile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Replace has write fill a file beside path under a temporary name (.soaktag-*),
// syncs it and renames it to path. What was there is replaced, and who may read and
// write it stays; where write or the disk fails it stays as it was, and nothing is
// left beside it. No error names the temporary file; those of write come back otherwise as
// they are.
func Replace(path string, write func(io.Writer) error) error {
	return replace(path, modeOf(path), write)
}

// ReplaceSecret is Replace of a file that nobody but its owner may read.
func ReplaceSecret(path string, write func(io.Writer) error) error {
	return replace(path, 0o600, write)
}

func replace(path string, mode fs.FileMode, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".soaktag-*")
	if err != nil {
		return fmt.Errorf("write %s: its folder does not exist or cannot be written to (%w)", path, Cause(err))
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, discard(f))
		}
	}()
	if err := write(&named{f, path}); err != nil {
		return err
	}
	if err := errors.Join(f.Chmod(mode), f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("write %s: %w", path, Cause(err))
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("write %s: %w", path, Cause(err))
	}
	return nil
}

// A named file says in its errors what it is to become.
type named struct {
	file *os.File
	path string
}

func (n *named) Write(p []byte) (int, error) {
	written, err := n.file.Write(p)
	if err != nil {
		err = fmt.Errorf("write %s: %w", n.path, Cause(err))
	}
	return written, err
}

// modeOf is the mode of what is at path; of a new file that everybody may read it.
func modeOf(path string) fs.FileMode {
	if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
		return info.Mode().Perm()
	}
	return 0o644
}

// Cause is an error of the file system without the name it happened to, which
// for a temporary file tells a person nothing.
func Cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	var l *os.LinkError
	if errors.As(err, &l) {
		return l.Err
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
