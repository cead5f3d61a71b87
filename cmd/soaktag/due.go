package main

import (
	"slices"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// dueCommand says what is to be done now, soonest first.
func (s *session) dueCommand() *cli.Command {
	return &cli.Command{
		Name:   "due",
		Usage:  "say what is due, soon and overdue, soonest first, and what to do",
		Flags:  lookFlags(&cli.BoolFlag{Name: "all", Usage: "also what is still running, with nothing to do yet"}),
		Action: s.due,
	}
}

func (s *session) due(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	items := view.rec.Due(view.now)
	s.attention = s.attention || tracker.States(items)[schedule.Overdue] > 0
	dangers := strength.InDanger(view.rec, view.now)
	if c.Bool("json") {
		return s.json(c, "due/1", tables.NewDue(items, dangers, view.zone()))
	}
	s.printDue(wording.DueListOf(view.rec, items, dangers, view.now, c.Bool("all")))
	return nil
}

func (s *session) printDue(list wording.DueList) {
	s.print("%s\n", list.Counts)
	for _, d := range list.Items {
		s.printToDo(d)
	}
	if list.Nothing != "" {
		s.print("%s\n", list.Nothing)
		s.hint("soaktag status says how far the study is, soaktag results what it comes to")
	}
	s.printLines("", list.Danger)
	for _, d := range list.After {
		s.printToDo(d)
	}
}

// printToDo prints one thing to be done below its heading.
func (s *session) printToDo(d wording.DueSaid) {
	s.print("\n%s  %s\n", d.Label, d.Title)
	s.printLines("    ", said(d.When, spelled("do: ", d.Do), spelled("why: ", d.Why), d.Names, d.Type))
	for _, part := range d.Parts {
		s.print("    %s\n", part.Says)
		s.printLines("        ", said(part.Names))
	}
}

// said are the lines that say something.
func said(lines ...string) []string {
	return slices.DeleteFunc(lines, func(line string) bool { return line == "" })
}
