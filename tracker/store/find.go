package store

import (
	"os"
	"path/filepath"
)

// Extension is what the name of a study's file ends in.
const Extension = ".soaktag"

// Nearest lists the study files of the first folder, from dir up to the root,
// that holds any: their names, and that folder. Without any the names are none.
func Nearest(dir string) (folder string, names []string) {
	for {
		if found := StudiesIn(dir); len(found) > 0 {
			return dir, found
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return dir, nil
		}
		dir = parent
	}
}

// Backups lists the backup copies in a folder.
func Backups(dir string) []string {
	return filesIn(dir, IsBackup)
}

// StudiesIn lists the study files of a folder; one that cannot be read has none.
// Backup copies are not counted: they are there to be restored, not worked on.
func StudiesIn(dir string) []string {
	return filesIn(dir, func(path string) bool { return !IsBackup(path) })
}

func filesIn(dir string, wanted func(path string) bool) (names []string) {
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if !e.IsDir() && filepath.Ext(e.Name()) == Extension && wanted(filepath.Join(dir, e.Name())) {
			names = append(names, e.Name())
		}
	}
	return names
}
