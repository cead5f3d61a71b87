package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"soaktag/tracker/wholefile"
	"soaktag/tracker/wording"
)

// openNamed opens a file that somebody named, to be read; otherwise is what to type
// where there is none.
func openNamed(path, otherwise string) (*os.File, error) {
	if err := mustExist(path, otherwise); err != nil {
		return nil, err
	}
	f, err := os.Open(path)
	return f, unreadable(path, err)
}

// mustExist refuses what is not there, with the file that was meant most likely or else
// what to type, and a folder.
func mustExist(path, otherwise string) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if near := nearestWord(filepath.Base(path), alikeNames(path)); near != "" {
			otherwise = "did you mean " + wording.ShellWord(filepath.Join(filepath.Dir(path), near)) + "?"
		}
		return withHint(usageError("there is no file %s", path), "%s", otherwise)
	case err == nil && info.IsDir():
		return usageError("%s is a folder; name a file in it", path)
	}
	return unreadable(path, err)
}

// alikeNames are the files beside path that end as it does.
func alikeNames(path string) (names []string) {
	entries, _ := os.ReadDir(filepath.Dir(path)) // none where it cannot be read
	for _, e := range entries {
		if filepath.Ext(e.Name()) == filepath.Ext(path) && !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}

func unreadable(path string, err error) error {
	if err == nil {
		return nil
	}
	return refused(fmt.Errorf("%s cannot be read: %w", path, wholefile.Cause(err)))
}

// mustBeFolder refuses a name for a folder that a file has.
func mustBeFolder(path, example string) error {
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		return withHint(usageError("%s is a file, and a folder is wanted", path), "name a new folder: %s", example)
	}
	return nil
}
