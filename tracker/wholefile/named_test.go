package wholefile_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker/wholefile"
)

// What a person named and cannot be had is said in words, not in those of the
// system.
func TestNamed(t *testing.T) {
	dir := t.TempDir()
	file, none := filepath.Join(dir, "plan.toml"), filepath.Join(dir, "none.toml")
	if err := os.WriteFile(file, []byte("[study]"), 0o644); err != nil {
		t.Fatal(err)
	}
	if f, err := wholefile.Open(file); err != nil || f.Close() != nil {
		t.Error(err)
	}
	_, missing := wholefile.Open(none)
	_, folder := wholefile.Open(dir)
	for want, err := range map[string]error{
		"there is no file " + none:                    missing,
		dir + " is a folder; name a file in it":       folder,
		file + " is a file, and a folder is wanted":   wholefile.MakeFolder(file),
		"the folder " + file + "/in cannot be made: ": wholefile.MakeFolder(filepath.Join(file, "in")),
	} {
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
	if !errors.Is(missing, fs.ErrNotExist) {
		t.Error("what is not there is not fs.ErrNotExist")
	}
	if err := wholefile.MakeFolder(filepath.Join(dir, "a", "b")); err != nil {
		t.Error(err)
	}
	if !wholefile.Holds(file, "stu") || wholefile.Holds(file, "stoo") || wholefile.Holds(none, "") || wholefile.Holds(dir, "") {
		t.Error("Holds")
	}
	if !wholefile.Begins(file, "[stu") || wholefile.Begins(file, "[study] and more") || wholefile.Begins(none, "[") || wholefile.Begins(dir, "[") {
		t.Error("how a file begins is not told")
	}
}
