package main

import (
	"fmt"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// historyCommand tells one specimen's life.
func (s *session) historyCommand() *cli.Command {
	return &cli.Command{
		Name:      "history",
		Usage:     "tell everything that happened to one specimen",
		ArgsUsage: "CODE",
		Flags:     lookFlags(),
		Action:    s.history,
	}
}

func (s *session) history(c *cli.Context) error {
	text, err := oneArgument(c, "one code or name")
	if err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	if intake.IsDummy(view.rec, text) {
		return s.dummyHistory(c, view)
	}
	sp, _, err := view.rec.Resolve(text)
	if err != nil {
		return refused(err)
	}
	if c.Bool("json") {
		return s.json(c, "history/1", tables.NewHistory(view.rec, sp))
	}
	s.printHistory(wording.LifeOf(view.rec, sp, false))
	return nil
}

func (s *session) printHistory(told wording.LifeTold) {
	s.print("%s\n", told.Head)
	s.printLines("", told.Kin)
	s.printEvents(told.Events)
	s.printLines("", said(append(told.Marks, spelled("next: ", told.Next))...))
}

// shortSum is how much of a photograph's name a table shows.
const shortSum = 12

// printEvents prints a life, with the photographs where there are any.
func (s *session) printEvents(events []wording.LifeEvent) {
	headings := []string{"event", "when", "what"}
	first := slices.IndexFunc(events, func(e wording.LifeEvent) bool { return e.Photo != "" })
	if first >= 0 {
		headings = append(headings, "photograph")
	}
	t := screen.NewTable(headings...)
	for _, e := range events {
		t.Row(e.Number, e.When, e.What, e.Photo[:min(shortSum, len(e.Photo))])
	}
	s.print("%s", t)
	if first >= 0 {
		s.hint("soaktag export DIR writes the photographs, as DIR/photos/%s...", events[first].Photo[:shortSum])
	}
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
