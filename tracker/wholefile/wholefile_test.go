package wholefile_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker/wholefile"
)

func saying(text string, fails error) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return errors.Join(err, fails)
	}
}

// The old file, or the whole new one, and nothing else beside it.
func TestReplace(t *testing.T) {
	dir := t.TempDir()
	path, failed := filepath.Join(dir, "a.csv"), errors.New("no more rows")
	for _, step := range []struct {
		text  string
		fails error
		holds string
	}{{"first", nil, "first"}, {"half", failed, "first"}, {"second", nil, "second"}} {
		if err := wholefile.Replace(path, saying(step.text, step.fails)); !errors.Is(err, step.fails) {
			t.Errorf("%s: %v", step.text, err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != step.holds {
			t.Errorf("%s: holds %q, %v", step.text, got, err)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
			t.Errorf("%s: %v, %v", step.text, left, err)
		}
	}
	if err := wholefile.Replace(filepath.Join(dir, "none", "a.csv"), saying("x", nil)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("in no folder: %v", err)
	}
}

// A temporary name says nothing to a person: an error is about the file that was meant.
func TestNoTemporaryNames(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.csv")
	closed := wholefile.Replace(path, func(w io.Writer) error {
		_, err := io.Copy(w, &ending{dir})
		return err
	})
	folder := wholefile.Replace(dir, saying("x", nil)) // a file never takes the place of a folder
	for _, err := range []error{closed, folder} {
		if err == nil || strings.Contains(err.Error(), ".soaktag-") {
			t.Errorf("says %v", err)
		}
	}
}

// An ending reader takes the files of a folder away from whoever writes them.
type ending struct{ dir string }

func (e *ending) Read(p []byte) (int, error) {
	hidden, _ := filepath.Glob(filepath.Join(e.dir, ".soaktag-*"))
	for _, path := range hidden {
		os.Remove(path)
	}
	return 0, io.EOF
}
