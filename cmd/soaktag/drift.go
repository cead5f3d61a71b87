package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// driftCommand compares what happened with what was planned.
func (s *session) driftCommand() *cli.Command {
	return &cli.Command{
		Name:   "drift",
		Usage:  "say by how much every interval drifted: all together, one group alone, one specimen alone",
		Flags:  lookFlags(),
		Action: s.drift,
	}
}

func (s *session) drift(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	intervals := view.rec.Drift(view.now)
	s.attention = s.attention || view.rec.DriftAsks(intervals)
	if c.Bool("json") {
		return s.json(c, "drift/1", tables.NewDrift(intervals))
	}
	s.printDrift(view, intervals)
	return nil
}

func (s *session) printDrift(v view, intervals []tracker.IntervalDrift) {
	if len(intervals) == 0 {
		s.print("%s\n", wording.NoDrift(v.now, v.zone()))
		s.hint("soaktag due says what comes first")
		return
	}
	for i, iv := range intervals {
		if i > 0 {
			s.print("\n")
		}
		s.printInterval(wording.Drifted(iv))
	}
}

func (s *session) printInterval(d wording.DriftSaid) {
	s.print("%s\n", d.Head)
	if len(d.Rows) > 0 {
		s.print("%s", tableOf(wording.DriftHeadings, d.Rows, "  "))
	}
	if d.Except != "" {
		s.print("%s", screen.Prose(d.Except, "  ", "  "))
	}
	s.printLines("  ", d.Strays)
}

// tableOf sets rows below headings.
func tableOf(headings []string, rows [][]string, indent string) *screen.Table {
	t := screen.NewTable(headings...)
	t.Indent = indent
	for _, row := range rows {
		t.Row(row...)
	}
	return t
}
