package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
)

// An identity is which files on the disk an open study is, whatever is called
// by their names later. The database holds on to the files themselves: when
// they are moved or deleted it goes on writing to where nobody looks.
//
// Only names are looked at. Opening and closing the study's own file a second
// time would drop the locks that the database holds on it.
type identity []named

type named struct {
	name string
	info fs.FileInfo
}

// identify notes which files the study at path and its journal are. The
// database has them open.
func identify(path string) (id identity, err error) {
	for _, name := range []string{path, path + "-wal"} {
		info, err := os.Stat(name)
		if err != nil {
			return nil, fmt.Errorf("looking at the open study: %w", err)
		}
		os.SameFile(info, info) // where the identity is read only when it is first compared
		id = append(id, named{name, info})
	}
	return id, nil
}

// unmoved fails when another file, or none, has the name of one of ours now.
func (id identity) unmoved() error {
	for _, n := range id {
		now, err := os.Stat(n.name)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("looking at the open study: %w", err)
		}
		if err != nil || !os.SameFile(now, n.info) {
			return faultf(ErrMoved, "%s was moved, deleted or replaced while it was open; put the study back under its name, with the "+
				"-wal and -shm files beside it, and start again", n.name)
		}
	}
	return nil
}
