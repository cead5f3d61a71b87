package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// partOf is how the files are called beside path in which this process makes it: by
// its number, so that what others are making, or left, is in nobody's way.
func partOf(path string) string { return fmt.Sprintf("%s.part%d", path, os.Getpid()) }

// emptyBeside creates an empty file with a free name in the folder of path.
func emptyBeside(path string) (string, error) {
	for i := 0; ; i++ {
		temp := partOf(path)
		if i > 0 {
			temp += fmt.Sprintf("-%d", i)
		}
		err := makeEmpty(temp)
		if err == nil {
			return temp, nil
		}
		if !errors.Is(err, fs.ErrExist) || i == 99 {
			return "", unwritableFolder(path, err)
		}
	}
}

func makeEmpty(path string) error {
	if len(leftBehind(path)) > 0 { // of a build that was killed
		return fs.ErrExist
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o644)
	if err != nil {
		return err
	}
	return f.Close()
}

// removeParts clears away what a build leaves, done or not.
func removeParts(temp string) {
	_ = os.Remove(temp)
	for _, tail := range journals() {
		_ = os.Remove(temp + tail) // most of them are not there
	}
}

// Abandon clears away what this process is making, or made unfinished, in place of
// path, and reports whether there was any: then path does not get that file any more,
// and whoever makes it fails. For a process about to be ended.
func Abandon(path string) (abandoned bool) {
	parts, _ := os.ReadDir(filepath.Dir(path)) // none where it cannot be read
	for _, part := range parts {
		if !strings.HasPrefix(part.Name(), filepath.Base(partOf(path))) {
			continue
		}
		temp := filepath.Join(filepath.Dir(path), part.Name())
		if !sameFile(temp, path) { // which has its name already
			abandoned = os.Remove(temp) == nil || abandoned
		}
	}
	return abandoned
}

func sameFile(a, b string) bool {
	one, errA := os.Stat(a)
	other, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(one, other)
}

// underName is an error about temp told of the file that temp was to become.
func underName(err error, temp, path string) error {
	if err == nil || !strings.Contains(err.Error(), temp) {
		return err
	}
	return &fault{strings.ReplaceAll(err.Error(), temp, path), err}
}
