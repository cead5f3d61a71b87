package main

import (
	"errors"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/store"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// statusCommand says how far the study is and what asks.
func (s *session) statusCommand() *cli.Command {
	return &cli.Command{
		Name:   "status",
		Usage:  "say how far the study is, and what asks for an answer",
		Flags:  lookFlags(),
		Action: s.showStatus,
	}
}

func (s *session) showStatus(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	var several *severalStudies
	if errors.As(err, &several) && !c.Bool("json") {
		return s.listStudies(c, several)
	}
	if err != nil {
		return err
	}
	dangers := strength.InDanger(view.rec, view.now)
	doc := tables.NewStatus(view.rec, dangers, view.now)
	doc.Study.File, doc.Study.Events, doc.Study.Head = fromHere(view.file), view.events, view.head
	s.attention = s.attention || doc.Overdue > 0 || doc.Asks > 0
	if c.Bool("json") {
		return s.json(c, "status/1", doc)
	}
	s.printStatus(view, doc, dangers)
	return nil
}

// fromHere is a path without the folders of this machine: what was found or named in
// full is named by its file alone.
func fromHere(path string) string {
	if filepath.IsAbs(path) {
		return filepath.Base(path)
	}
	return path
}

func (s *session) printStatus(v view, doc tables.Status, dangers []strength.Danger) {
	s.print("%s\n", doc.Study.Title)
	s.print("%s  %s, %s, %s\n\n", filepath.Base(doc.Study.File), wording.Plural(len(v.rec.Specimens()), "specimen"), wording.Plural(int(doc.Study.Events), "event"),
		wording.Time(v.now, v.zone()))
	s.sayMoving(v.file, store.InJournal(v.file, v.whole))
	t := screen.NewTable("stage", ">done", ">of")
	for _, st := range doc.Stages {
		t.Row(st.Stage, count(st.Done), count(st.Of))
	}
	s.print("%s\n", t)
	for _, t := range v.rec.Trials() {
		s.print("%s\n", wording.Trial(t, v.zone()))
	}
	s.print("soon %d, due %d, overdue %d, asking %d\n", doc.Soon, doc.Due, doc.Overdue, doc.Asks)
	s.printLines("", wording.InDanger(dangers))
	s.printMarks(v.rec.OpenMarks())
	start, waits := v.rec.Start(v.now)
	if waits {
		s.print("to begin: %s%s\n", wording.StartOf(start), spelled(", ", wording.StartBy(start, v.now, v.zone())))
	}
	if doc.Overdue+doc.Due > 0 || waits {
		s.hint("soaktag due says what to do first")
	}
}

// printMarks tells what asks, rule by rule.
func (s *session) printMarks(open []tracker.Mark) {
	for _, asked := range wording.Asks(open) {
		s.printLines("  ", asked.Lines)
		if len(asked.Codes) > 0 {
			s.print("%s", screen.List(asked.Codes, "      "))
		}
	}
	if len(open) > 0 {
		s.hint("put it right with soaktag amend, or say why it stands: soaktag accept --rule %q --reason \"...\"", open[0].Rule)
	}
}
