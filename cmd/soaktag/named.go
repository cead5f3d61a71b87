package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"soaktag/tracker/wholefile"
	"soaktag/tracker/wording"
)

// openNamed opens a file that somebody named. Where there is none it hints at one
// beside it that was meant most likely, else at what to type otherwise.
func openNamed(path, otherwise string) (*os.File, error) {
	f, err := wholefile.Open(path)
	if !errors.Is(err, fs.ErrNotExist) {
		return f, refused(err)
	}
	var beside []string
	entries, _ := os.ReadDir(filepath.Dir(path)) // none where it cannot be read
	for _, e := range entries {
		if filepath.Ext(e.Name()) == filepath.Ext(path) && !e.IsDir() {
			beside = append(beside, e.Name())
		}
	}
	if near := nearestWord(filepath.Base(path), beside); near != "" {
		otherwise = "did you mean " + wording.ShellWord(filepath.Join(filepath.Dir(path), near)) + "?"
	}
	return nil, withHint(refused(err), "%s", otherwise)
}
