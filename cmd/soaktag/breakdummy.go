package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/schedule/ical"
	"soaktag/tracker"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// dummyAsks is what a dummy is to show.
const dummyAsks = "does it hold, does the gauge read, does the tool run true?"

// printDummy prints a dummy that is due.
func (s *session) printDummy(study *tracker.Study, d tracker.Due) {
	s.print("\n%s  dummy on %s, before lift-out%s\n", strings.ToUpper(d.State.String()), d.Rig, wording.Roughly([]tracker.Due{d}))
	s.print("    %s\n", wording.Window(d, study.Zone))
	s.print("    do: break a dummy on %s: %s\n", d.Rig, dummyAsks)
	s.print("    %s\n", wording.DummyCommand(study, d.Rig))
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
			Description: dummyAsks + "\n" + wording.DummyCommand(study, d.Rig),
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

// dummyHistory tells what was done to dummies.
func (s *session) dummyHistory(c *cli.Context, v view) error {
	doc := tables.NewDummyHistory(v.rec)
	t := screen.NewTable("event", "when", "what")
	for _, entry := range v.rec.DummyTries() {
		t.Row(fmt.Sprintf("#%d", entry.Event.Seq), wording.Span(entry.Span, v.zone()), wording.Happened(entry, nil))
	}
	if c.Bool("json") {
		return s.json(c, "history/1", doc)
	}
	s.print("dummies, no specimens: %s\n", wording.Plural(len(doc.Events), "event"))
	if len(doc.Events) > 0 {
		s.print("%s", t)
	}
	for _, d := range v.rec.Dummies(v.now) {
		s.print("to come: %s, from %s\n", d.Rig, dummyFrom(d, v.zone()))
	}
	return nil
}

func dummyFrom(d tracker.Due, zone *time.Location) string {
	return wording.Time(d.Window.Opens, zone) + " to " + wording.Time(d.Window.Closes, zone)
}
