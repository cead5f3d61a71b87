package main

import (
	"io"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// isDrawing reports whether a file is to be an SVG drawing.
func isDrawing(out string) bool { return strings.EqualFold(filepath.Ext(out), ".svg") }

// drawing writes the cuts of all boards below each other in one SVG file.
func (s *session) drawing(c *cli.Context, rec *tracker.Record, stage schedule.Stage) error {
	out := c.String("out")
	if !tracker.WorkOf(stage).Drawn {
		return usageError("only the cuts are drawn as SVG: name a .pdf for %s", stage)
	}
	layouts, err := worksheet.Layouts(rec)
	if err != nil {
		return usageError("no drawing of the cuts: %w", err)
	}
	err = writeOut(c, svgFile, out, func(w io.Writer) error {
		_, err := io.WriteString(w, worksheet.SVG(layouts, rec.Study()))
		return err
	})
	if err != nil {
		return err
	}
	s.print("%s: cuts of %s\n", out, wording.Plural(len(layouts), "board"))
	return nil
}
