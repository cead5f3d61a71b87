package main

import (
	"fmt"
	"io"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/schedule/ical"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// calendarCommand puts what is to come into a calendar file.
func (s *session) calendarCommand() *cli.Command {
	return &cli.Command{
		Name:  "calendar",
		Usage: "write what is to be done next as a calendar file for phone or desk",
		Flags: []cli.Flag{studyFlag(), asOfFlag(), replaceFlag(),
			&cli.StringFlag{Name: "out", Usage: "the `FILE.ics` to write"},
			&cli.StringFlag{Name: "alarm", Value: "1 h", Usage: "ring this `LONG` before a window opens; 0 s for never"}},
		Action: s.calendar,
	}
}

func (s *session) calendar(c *cli.Context) error {
	out, alarm, err := calendarFlags(c)
	if err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	stamp, err := s.stamp()
	if err != nil {
		return err
	}
	events := tables.Calendar(view.rec, view.now, view.events)
	if len(events) == 0 {
		s.print("nothing to come: no file written\n")
		return nil
	}
	err = writeOut(c, icsFile, out, func(w io.Writer) error { return ical.Write(w, events, stamp, alarm) })
	if err != nil {
		return err
	}
	s.print("%s  %s, the first on %s\n", out, wording.Counted(len(events), "entry", "entries"), wording.Time(events[0].Start, view.zone()))
	return nil
}

func calendarFlags(c *cli.Context) (out string, alarm time.Duration, err error) {
	if err := noArguments(c); err != nil {
		return "", 0, err
	}
	out = c.String("out")
	if out == "" {
		return "", 0, usageError("calendar needs a file to write: soaktag calendar --out due.ics")
	}
	alarm, err = schedule.ParseDuration(c.String("alarm"))
	if err != nil {
		return "", 0, refused(fmt.Errorf("--alarm: %w", err))
	}
	return out, alarm, mayWrite(c, icsFile, out)
}
