package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/labels/photo"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// photoGiven reads the photograph that --photo names; nil when none was given.
func photoGiven(c *cli.Context, of subject) ([]byte, error) {
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
			"a photograph can be kept by itself as well: soaktag faces %s --photo FILE.jpg", of.shown())
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
	return photo, fitToKeep(path, photo)
}

// fitToKeep says why a file is not a photograph that a study keeps.
func fitToKeep(path string, file []byte) error {
	switch {
	case len(file) == 0:
		return fmt.Errorf("%s is empty (0 bytes)", path)
	case photo.IsHEIC(file):
		return fmt.Errorf("%s is a HEIC photograph, and JPEG, PNG or WebP is kept; save it as JPEG, or set the camera to", path)
	case tracker.PhotoType(file) == "":
		return fmt.Errorf("%s is no photograph: by its first bytes it is neither JPEG, PNG nor WebP", path)
	case len(file) > tracker.MaxPhoto:
		return fmt.Errorf("%s is over %d MB; save it smaller", path, tracker.MaxPhoto/1_000_000)
	}
	return nil
}

// picture is the event that keeps a photograph of a subject.
func (b *book) picture(photo []byte, sub subject) tracker.Event {
	e := b.about(b.entry.event(tracker.Photographed), sub)
	e.Photo, e.PhotoType = tracker.PhotoSum(photo), tracker.PhotoType(photo)
	return e
}

// keepPhoto is keep for events of which one keeps a photograph: all of it is in
// the study, or nothing.
func (b *book) keepPhoto(photo []byte, events ...tracker.Event) error {
	verdicts, err := b.db.Keep(photo, events...)
	if err != nil {
		return err
	}
	for _, v := range verdicts {
		b.print("%s\n", wording.Recorded(v, b.zone()))
	}
	return b.answer(b.sayMarks(verdicts))
}
