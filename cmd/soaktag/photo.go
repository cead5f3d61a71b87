package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// photoGiven reads the photograph that --photo names; nil when none was given.
func photoGiven(c *cli.Context, of intake.Subject) ([]byte, error) {
	if !c.IsSet("photo") {
		return nil, nil
	}
	path := c.String("photo")
	if strings.TrimSpace(path) == "" {
		return nil, usageError("--photo is empty: name a file, or leave the flag out; nothing recorded")
	}
	photo, err := readPhoto(path)
	if err != nil {
		return nil, withHint(refused(fmt.Errorf("--photo: %w; nothing recorded", err)),
			"a photograph can be kept by itself as well: soaktag faces %s --photo FILE.jpg", of)
	}
	return photo, nil
}

// readPhoto reads a photograph whole, and tells it by its first bytes, not by
// its name.
func readPhoto(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("there is no file %s", path)
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder; name one photograph in it", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	photo, err := io.ReadAll(io.LimitReader(f, tracker.MaxPhoto+1))
	if err != nil {
		return nil, err
	}
	return photo, intake.FitToKeep(path, photo)
}
