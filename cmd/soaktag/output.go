package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker/wholefile"
)

// writeNew writes a file that must not exist yet: nothing of the user's is
// overwritten. The file is complete and on disk under its name, or not there.
func writeNew(path string, write func(io.Writer) error) error {
	if err := mustBeNew(path); err != nil {
		return err
	}
	return wholefile.Replace(path, write)
}

// A format is how a file that a command writes begins, and what it holds that says who
// wrote it: what is otherwise was not written by soaktag.
type format struct{ begins, mark string }

var (
	pdfFile  = format{"%PDF-", "/Producer (soaktag)"}
	svgFile  = format{"<svg", "<metadata>soaktag</metadata>"}
	htmlFile = format{"<!DOCTYPE html>", `<meta name="generator" content="soaktag">`}
	icsFile  = format{"BEGIN:VCALENDAR", "PRODID:-//soaktag//"}
)

func replaceFlag() cli.Flag {
	return &cli.BoolFlag{Name: "replace", Usage: "write the file anew where an earlier one has the name"}
}

// writeOut is writeNew or, with --replace, writes over a file of that format, which
// stays as it was unless the new one is whole.
func writeOut(c *cli.Context, as format, path string, write func(io.Writer) error) error {
	if err := mayWrite(c, as, path); err != nil {
		return err
	}
	return wholefile.Replace(path, write)
}

// mayWrite refuses a name that writeOut would, before any work is done.
func mayWrite(c *cli.Context, as format, path string) error {
	info, err := os.Lstat(path)
	switch {
	case err != nil:
		return mustBeNew(path)
	case info.IsDir():
		return usageError("%s is a folder; name a file in it", path)
	case !c.Bool("replace"):
		return usageError("%s is there already: add --replace to write it anew, or name another file", path)
	case !info.Mode().IsRegular() || !wholefile.Begins(path, as.begins):
		return usageError("%s is there already and not of the kind that %s writes: --replace leaves it alone; name another file", path, c.Command.Name)
	case !wholefile.Holds(path, as.mark):
		return usageError("%s is there already and does not say that soaktag wrote it: --replace leaves it alone; name another file", path)
	case info.Mode().Perm()&0o200 == 0:
		return usageError("%s is there already and may only be read: --replace leaves it alone; name another file", path)
	}
	return nil
}

// mustBeNew refuses a name that is taken, or that lies in no folder.
func mustBeNew(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return usageError("%s is there already and is never overwritten; name another file, or move it away first", path)
	}
	folder := filepath.Dir(path)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Errorf("%s cannot be written: there is no folder %s; make it first", path, folder)
	}
	return nil
}

// stamp is the moment written into output files: SOURCE_DATE_EPOCH where that
// is set, so that the same input gives the same bytes, else now.
func (s *session) stamp() (time.Time, error) {
	text := os.Getenv("SOURCE_DATE_EPOCH")
	if text == "" {
		return s.now(), nil
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return time.Time{}, usageError("SOURCE_DATE_EPOCH %q is not a number of seconds", text)
	}
	return time.Unix(seconds, 0).UTC(), nil
}

// progress says how far a long work is, on a line of its own, from now on, where
// somebody waits at a terminal.
func (s *session) progress(what string) func(done, of int) {
	if !s.watched {
		return nil
	}
	bar := screen.NewProgress(s.stderr, s.now)
	return func(done, of int) {
		bar.At(what, done, of)
		if done == of {
			bar.End()
		}
	}
}
