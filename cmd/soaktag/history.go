package main

import (
	"fmt"
	"slices"
	"strings"
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
	doc := tables.NewHistory(view.rec, sp)
	if c.Bool("json") {
		return s.json(c, "history/1", doc)
	}
	s.printHistory(view, sp, doc)
	return nil
}

func (s *session) printHistory(v view, sp tracker.Specimen, doc tables.History) {
	s.print("%s  %s %s%s%s\n", wording.Name(sp), sp.Adhesive, sp.Treatment,
		spelled(", board ", sp.Board), spelled(", bath ", sp.Bath))
	if sp.Parent != "" {
		s.print("re-glued from the halves of %s\n", sp.Parent)
	}
	if len(doc.Specimen.Children) > 0 {
		s.print("its halves were re-glued as %s\n", strings.Join(doc.Specimen.Children, ", "))
	}
	s.printEvents(v, sp, doc)
	for _, line := range wording.LifeMarks(v.rec.Life(sp.Code).Marks, v.rec.History(sp.Code)) {
		s.print("%s\n", line)
	}
	if next := doc.Specimen.Next; next != "" {
		s.print("next: %s%s\n", next, wording.Again(v.rec.Life(sp.Code)))
	}
}

// shortSum is how much of a photograph's name a table shows.
const shortSum = 12

// printEvents prints a life, with the photographs where there are any.
func (s *session) printEvents(v view, sp tracker.Specimen, doc tables.History) {
	headings := []string{"event", "when", "what"}
	first := slices.IndexFunc(doc.Events, func(e tables.HistoryEvent) bool { return e.Photo != "" })
	if first >= 0 {
		headings = append(headings, "photograph")
	}
	t, passes := screen.NewTable(headings...), v.rec.Life(sp.Code).PassNames()
	for i, entry := range v.rec.History(sp.Code) {
		photo := ""
		if sum := doc.Events[i].Photo; sum != "" {
			photo = string(sum[:shortSum])
		}
		t.Row(fmt.Sprintf("#%d", entry.Event.Seq), wording.Span(entry.Span, v.zone()), wording.Happened(entry, passes), photo)
	}
	s.print("%s", t)
	if first >= 0 {
		s.hint("soaktag export DIR writes the photographs, as DIR/photos/%s...", doc.Events[first].Photo[:shortSum])
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
