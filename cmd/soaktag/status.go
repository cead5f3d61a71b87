package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
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
	if err != nil {
		return err
	}
	doc := tables.NewStatus(view.rec, view.now)
	doc.Study.File, doc.Study.Events, doc.Study.Head = view.file, view.events, view.head
	s.attention = s.attention || doc.Overdue > 0 || doc.Asks > 0
	if c.Bool("json") {
		return s.json(c, "status/1", doc)
	}
	s.printStatus(view, doc)
	return nil
}

func (s *session) printStatus(v view, doc tables.Status) {
	s.print("%s\n", doc.Study.Title)
	s.print("%s  %d specimens, %d events, %s\n\n", filepath.Base(doc.Study.File), len(v.rec.Specimens()), doc.Study.Events,
		wording.Time(v.now, v.zone()))
	t := screen.NewTable("stage", ">done", ">of")
	for _, st := range doc.Stages {
		t.Row(st.Stage, count(st.Done), count(st.Of))
	}
	s.print("%s\n", t)
	for _, t := range v.rec.Trials() {
		s.print("%s\n", wording.Trial(t, v.zone()))
	}
	s.print("soon %d, due %d, overdue %d, asking %d\n", doc.Soon, doc.Due, doc.Overdue, doc.Asks)
	s.printMarks(doc.Marks)
	if doc.Overdue+doc.Due > 0 {
		s.hint("soaktag due says what to do first")
	}
}

// fewMarks is how many open marks of one rule are told one by one.
const fewMarks = 3

// printMarks tells what asks, rule by rule: a mark that many specimens bear is
// told once, with their codes.
func (s *session) printMarks(marks []tables.RecordMark) {
	var order []string
	byRule := map[string][]tables.RecordMark{}
	for _, m := range marks {
		if byRule[m.Rule] == nil {
			order = append(order, m.Rule)
		}
		byRule[m.Rule] = append(byRule[m.Rule], m)
	}
	for _, rule := range order {
		s.printRule(rule, byRule[rule])
	}
	if len(order) > 0 {
		s.hint("put it right with soaktag amend, or say why it stands: soaktag accept --rule %q --reason \"...\"", order[0])
	}
}

func (s *session) printRule(rule string, marks []tables.RecordMark) {
	codes, lines := make([]string, len(marks)), make([]string, len(marks))
	for i, m := range marks {
		codes[i] = aboutWhom(m)
		lines[i] = fmt.Sprintf("  %s: %s: %s\n", rule, codes[i], m.Text)
	}
	if lines = slices.Compact(lines); len(lines) <= fewMarks { // two entries may ask in the same words
		s.print("%s", strings.Join(lines, ""))
		return
	}
	s.print("  %s: %d ask, such as %s: %s\n%s", rule, len(marks), codes[0], marks[0].Text, screen.List(slices.Compact(codes), "      "))
}

// aboutWhom is whom a mark is about.
func aboutWhom(m tables.RecordMark) string { return cmp.Or(string(m.Code), "the study") }
