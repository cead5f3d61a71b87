package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wholefile"
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
	photo, err := readAsMuch(path)
	if err != nil {
		return nil, err
	}
	return photo, intake.FitToKeep(path, photo)
}

// loadPhoto reads a file that may be kept in a study. The errors do not name
// it.
func loadPhoto(path string) ([]byte, error) {
	if err := pipeless(path); err != nil {
		return nil, err
	}
	file, err := readAsMuch(path)
	if err != nil {
		return nil, wholefile.Cause(err)
	}
	if len(file) > tracker.MaxPhoto {
		return nil, fmt.Errorf("over %d MB; save it smaller", tracker.MaxPhoto/1_000_000)
	}
	return file, nil
}

// readAsMuch reads a file as far as a photograph may go, and one byte more.
func readAsMuch(path string) ([]byte, error) {
	f, err := wholefile.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, tracker.MaxPhoto+1))
}
