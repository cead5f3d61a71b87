package wholefile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Open opens a file that a person named, to be read. The error says in plain words
// what is wrong: not there (fs.ErrNotExist), a folder, or the cause.
func Open(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &noFile{path}
	case err == nil && info.IsDir():
		return nil, fmt.Errorf("%s is a folder; name a file in it", path)
	case err == nil && namedPipe(path, info):
		return nil, fmt.Errorf("%s is a named pipe, which nobody may ever write to; name a file, or give what comes out of it, as <(cat PIPE)", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, Cause(err))
	}
	return f, nil
}

// namedPipe reports whether opening a file may wait for ever. A pipe that a shell or a
// program opened before is none, though it has a name too: /dev/fd/63.
func namedPipe(path string, info fs.FileInfo) bool {
	_, err := filepath.EvalSymlinks(path)
	return err == nil && info.Mode()&fs.ModeNamedPipe != 0 && !strings.HasPrefix(path, "/dev/fd/")
}

// A noFile is a file that is not there: fs.ErrNotExist.
type noFile struct{ path string }

func (e *noFile) Error() string { return "there is no file " + e.path }
func (e *noFile) Unwrap() error { return fs.ErrNotExist }

// Begins reports whether the file at path can be read and begins with text.
func Begins(path, text string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	start := make([]byte, len(text))
	_, err = io.ReadFull(f, start)
	return err == nil && string(start) == text
}

// Holds reports whether the file at path can be read and holds text, up to the first
// 64 MiB: no file of ours comes near that.
func Holds(path, text string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	all, err := io.ReadAll(io.LimitReader(f, 64<<20))
	return err == nil && bytes.Contains(all, []byte(text))
}

// MakeFolder makes a folder, and those that it lies in, unless it is there.
func MakeFolder(path string) error {
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		return fmt.Errorf("%s is a file, and a folder is wanted; name another", path)
	}
	if err := os.MkdirAll(path, 0o777); err != nil {
		return fmt.Errorf("the folder %s cannot be made: %w", path, Cause(err))
	}
	return nil
}
