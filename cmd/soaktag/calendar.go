package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/schedule/ical"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// calendarCommand puts what is to come into a calendar file.
func (s *session) calendarCommand() *cli.Command {
	return &cli.Command{
		Name:  "calendar",
		Usage: "write what is to be done next as a calendar file for phone or desk",
		Description: "One entry a bath (or adhesive and treatment) and stage. Write it again under a new name\n" +
			"after something moved: entries keep their identity and replace the old ones. With\n" +
			"nothing to come no file is written: a calendar without an entry is none.",
		Flags: []cli.Flag{studyFlag(), asOfFlag(),
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
	events := calendarEvents(view)
	if len(events) == 0 {
		s.print("nothing to come: no file written\n")
		return nil
	}
	err = writeNew(out, func(w io.Writer) error { return ical.Write(w, events, stamp, alarm) })
	if err != nil {
		return err
	}
	s.print("%s  %d entries, the first on %s\n", out, len(events), wording.Time(events[0].Start, view.zone()))
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
	return out, alarm, mustBeNew(out)
}

// calendarEvents makes one entry of all specimens of a bath (or adhesive and
// treatment) that wait for the same stage.
func calendarEvents(v view) []ical.Event {
	var items []tracker.Due
	for _, d := range v.rec.Due(v.now) {
		if d.Rig == "" && !d.Window.Begins().IsZero() {
			d.State = schedule.Ongoing // one entry, whether due or still running
			items = append(items, d)
		}
	}
	var events []ical.Event
	for _, g := range tracker.GroupDue(items, v.rec.Study().Rule.Blind) {
		events = append(events, calendarEvent(v, g))
	}
	return withDummies(v, events)
}

func calendarEvent(v view, g tracker.DueGroup) ical.Event {
	first := g.Items[0]
	return ical.Event{
		UID:         calendarUID(v.rec, g.DueKey),
		Start:       v.rec.Study().FirstManned(first.Window.Begins(), first.Window.Closes),
		End:         first.Window.Closes,
		Summary:     fmt.Sprintf("%s: %s of %s, %s", v.rec.Study().Prefix, g.Stage, wording.DueWhom(g), wording.Plural(len(g.Items), "specimen")),
		Description: wording.Work(v.rec.Study(), g) + "\n" + codeList(g.Items),
		Sequence:    int(v.events), // grows with the log, as an entry that moves must
	}
}

// calendarUID names an entry for life: its study, stage and bath or group.
func calendarUID(rec *tracker.Record, key tracker.DueKey) string {
	words := strings.Join([]string{rec.Study().Prefix, string(key.Stage), key.Bath, key.Adhesive, key.Treatment}, "-")
	return strings.ReplaceAll(words, " ", "-") + "-" + studyMark(rec) + "@soaktag"
}

// studyMark tells two studies of one prefix apart: a part of the hash of the
// plan that the study began with.
func studyMark(rec *tracker.Record) string {
	sum := sha256.Sum256(rec.Original().Text)
	return hex.EncodeToString(sum[:4])
}

func codeList(items []tracker.Due) string {
	codes := make([]string, len(items))
	for i, d := range items {
		codes[i] = d.Specimen.Code.String()
	}
	return strings.Join(codes, ", ")
}

// dummyEvents makes one calendar entry of every dummy, due or still to come.
func dummyEvents(v view) []ical.Event {
	var events []ical.Event
	study := v.rec.Study()
	for _, d := range v.rec.Dummies(v.now) {
		events = append(events, ical.Event{
			UID:         strings.ReplaceAll(study.Prefix+"-dummy-"+d.Rig, " ", "-") + "-" + studyMark(v.rec) + "@soaktag",
			Start:       d.Window.Opens,
			End:         d.Window.Closes,
			Summary:     fmt.Sprintf("%s: break a dummy on %s", study.Prefix, d.Rig),
			Description: wording.DummyAsks + "\n" + wording.DummyCommand(study, d.Rig),
			Sequence:    int(v.events),
		})
	}
	return events
}

// withDummies puts the entries of dummies before those that begin later.
func withDummies(v view, events []ical.Event) []ical.Event {
	for _, e := range dummyEvents(v) {
		i := slices.IndexFunc(events, func(other ical.Event) bool { return other.Start.After(e.Start) })
		if i < 0 {
			i = len(events)
		}
		events = slices.Insert(events, i, e)
	}
	return events
}
