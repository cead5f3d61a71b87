package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"time"

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

// mustBeNew refuses a name that is taken, or that lies in no folder.
func mustBeNew(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return usageError("%s is there already and is never overwritten; name another file, or move it away first", path)
	}
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
		return fmt.Errorf("write %s: its folder does not exist or cannot be written to", path)
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
