package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker"
)

// What is being made can be abandoned at any moment until it has its name: then nothing
// has that name, nothing is left beside it, and what others make is left alone.
func TestAbandon(t *testing.T) {
	dir := t.TempDir()
	path, others := filepath.Join(dir, "s.soaktag"), filepath.Join(dir, "s.soaktag.part")
	write(t, others, "of somebody else")
	err := build(path, func(temp string) error {
		write(t, temp, "half of it")
		write(t, temp+"-wal", "and a journal")
		if Abandon(path) {
			return os.Remove(temp) // as whoever goes on finds it
		}
		return errors.New("nothing to abandon")
	})
	if !errors.Is(err, fs.ErrNotExist) || strings.Contains(err.Error(), ".part") {
		t.Errorf("what was abandoned says %v", err)
	}
	onlyFiles(t, dir, filepath.Base(others))
	if Abandon(path) {
		t.Error("nothing is abandoned twice")
	}
	if err := os.Link(others, path); err != nil {
		t.Fatal(err)
	}
	if err := os.Link(path, partOf(path)); err != nil {
		t.Fatal(err)
	}
	if Abandon(path) {
		t.Error("what has its name is abandoned")
	}
}

// However many were killed before, the next one finds a name.
func TestPartsOfTheKilled(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.soaktag")
	for _, tail := range []string{"1", "2", "99"} {
		write(t, path+".part"+tail, "of one that was killed")
	}
	write(t, partOf(path), "of one with the same number")
	if err := Make(path, begun(1), readPlan); err != nil {
		t.Error(err)
	}
}

// TestMakeReadsNothingBack: once a study has its name nothing can fail any more, so that
// nobody is told that there is none.
func TestMakeReadsNothingBack(t *testing.T) {
	path, reads := filepath.Join(t.TempDir(), "s.soaktag"), 0
	err := Make(path, begun(1), func(text []byte) (tracker.Study, error) {
		if reads++; reads > 1 {
			return tracker.Study{}, errors.New("no more memory")
		}
		return readPlan(text)
	})
	if r := Verify(path); err != nil || r.Events != 1 || len(r.Problems) > 0 {
		t.Errorf("%v, %+v", err, r)
	}
}

// A disk that cannot be read is no damaged study.
func TestReadable(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "a"), "text")
	if readable(filepath.Join(dir, "a")) != nil || readable(filepath.Join(dir, "none")) != nil || readable(dir) == nil {
		t.Error("what can be read is not told")
	}
}
