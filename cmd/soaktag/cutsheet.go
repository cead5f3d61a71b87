package main

import (
	"io"
	"path/filepath"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// isDrawing reports whether a file is to be an SVG drawing.
func isDrawing(out string) bool { return strings.EqualFold(filepath.Ext(out), ".svg") }

// drawing writes the cuts of all boards below each other in one SVG file.
func (s *session) drawing(rec *tracker.Record, stage schedule.Stage, out string) error {
	if !tracker.WorkOf(stage).Drawn {
		return usageError("only the cuts are drawn as SVG: name a .pdf for %s", stage)
	}
	layouts, err := worksheet.Layouts(rec)
	if err != nil {
		return usageError("no drawing of the cuts: %w", err)
	}
	err = writeNew(out, func(w io.Writer) error {
		_, err := io.WriteString(w, worksheet.SVG(layouts, rec.Study()))
		return err
	})
	if err != nil {
		return err
	}
	s.print("%s: cuts of %s\n", out, wording.Plural(len(layouts), "board"))
	return nil
}
