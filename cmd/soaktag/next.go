package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// nextCommand names the next specimen to break.
func (s *session) nextCommand() *cli.Command {
	return &cli.Command{
		Name:   "next",
		Usage:  "give the next code to break, board by board, blind",
		Flags:  lookFlags(),
		Action: s.next,
	}
}

type nextDoc struct {
	Code     strength.Text `json:"code"`
	Board    strength.Text `json:"board"`
	Adhesive strength.Text `json:"adhesive"`
	After    strength.Text `json:"after"`
	Left     int           `json:"left"`
}

func (s *session) next(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	queue, early := view.rec.BreakQueue(view.now)
	doc := nextOf(view, queue)
	if c.Bool("json") {
		return s.json(c, "next/1", doc)
	}
	s.printNext(view, queue, doc, early)
	return nil
}

func nextOf(v view, queue []tracker.Due) nextDoc {
	doc := nextDoc{Left: len(queue)}
	if len(queue) == 0 {
		return doc
	}
	first := queue[0].Specimen
	doc.Code, doc.Board = strength.Text(v.rec.Label(first.Code, v.now).String()), strength.Text(first.Board)
	if !v.rec.Study().Rule.Blind {
		doc.Adhesive = strength.Text(first.Adhesive)
	}
	if len(queue) > 1 {
		doc.After = strength.Text(v.rec.Label(queue[1].Specimen.Code, v.now).String())
	}
	return doc
}

func (s *session) printNext(v view, queue []tracker.Due, doc nextDoc, early bool) {
	if doc.Code == "" {
		s.print("nothing waits to be broken\n")
		s.hint("soaktag due says what comes first")
		return
	}
	if early {
		s.warn("not before %s", wording.Time(queue[0].Window.Opens, v.zone()))
	}
	s.print("%s%s%s\n", doc.Code, spelled("  board ", string(doc.Board)), spelled("  ", string(doc.Adhesive)))
	if doc.After != "" {
		s.print("then %s; %d left\n", doc.After, doc.Left)
	}
	if again := wording.Again(v.rec.Life(queue[0].Specimen.Code)); again != "" {
		s.say("break it%s; soaktag log %s --stage withdrawn leaves it out from now on", again, doc.Code)
	}
	s.hint("soaktag break %s --reading \"...\"%s --ended separated", doc.Code, wording.RigFlag(v.rec.Study()))
}

// spelled is the text behind its lead, or nothing.
func spelled(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}
