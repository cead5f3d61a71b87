package main

import (
	"slices"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// nextCommand names the next specimen to break.
func (s *session) nextCommand() *cli.Command {
	return &cli.Command{
		Name:  "next",
		Usage: "give the next code to break, board by board, blind",
		Description: "Only the code and the board are shown, so that whoever pulls the lever does not know\n" +
			"the adhesive; a plan with blind = false under [rule] shows it. Specimens that wait wet\n" +
			"come first, those that a try left whole come last. `after` is the one that follows.",
		Flags:  lookFlags(),
		Action: s.next,
	}
}

type nextDoc struct {
	Code     *string `json:"code"`
	Board    *string `json:"board"`
	Adhesive *string `json:"adhesive"`
	After    *string `json:"after"`
	Left     int     `json:"left"`
}

func (s *session) next(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	queue, early := breakQueue(view)
	doc := nextOf(queue, view.rec.Study().Rule.Blind)
	if c.Bool("json") {
		return s.json(c, "next/1", doc)
	}
	s.printNext(view, queue, doc, early)
	return nil
}

func nextOf(queue []tracker.Due, blind bool) nextDoc {
	doc := nextDoc{Left: len(queue)}
	if len(queue) == 0 {
		return doc
	}
	first := queue[0].Specimen
	doc.Code, doc.Board = orNull(first.Code.String()), orNull(first.Board)
	if !blind {
		doc.Adhesive = orNull(first.Adhesive)
	}
	if len(queue) > 1 {
		doc.After = orNull(queue[1].Specimen.Code.String())
	}
	return doc
}

// breakQueue lists what waits to be broken: what waits wet first, then board
// by board, and inside a board in the order dealt, which is random; after all
// of them what was loaded before and is still whole. When nothing may be broken
// yet it lists what comes later, soonest first, and reports early.
func breakQueue(v view) (queue []tracker.Due, early bool) {
	var open, later []tracker.Due
	for _, d := range v.rec.Due(v.now) {
		switch {
		case d.Stage != schedule.Break:
		case d.State == schedule.Due || d.State == schedule.Overdue:
			open = append(open, d)
		default:
			later = append(later, d)
		}
	}
	inBlocks(v, open)
	queue = append(open, againQueue(v)...)
	if len(queue) == 0 {
		return later, len(later) > 0
	}
	return queue, false
}

// againQueue lists what a try left whole: it is never due, and is broken again
// or withdrawn as somebody decides.
func againQueue(v view) []tracker.Due {
	var again []tracker.Due
	for _, life := range v.rec.Lives() {
		if life.LoadedBefore() != nil {
			again = append(again, tracker.Due{Specimen: life.Specimen, Bath: life.Specimen.Bath, Stage: schedule.Break})
		}
	}
	inBlocks(v, again)
	return again
}

// againText says how the try ended that left a specimen whole; it is empty where
// there was none, or where the specimen has been through more since.
func againText(life *tracker.Life) string {
	last := life.LoadedBefore()
	if last == nil {
		return ""
	}
	text := " again (loaded before: " + string(last.How)
	if last.Reading != "" {
		text += ", " + last.Reading
	}
	return text + ")"
}

// inBlocks sorts into the order to break in.
func inBlocks(v view, open []tracker.Due) {
	slices.SortStableFunc(open, func(a, b tracker.Due) int { return v.rec.BreakOrder(a.Specimen, b.Specimen) })
}

func (s *session) printNext(v view, queue []tracker.Due, doc nextDoc, early bool) {
	if doc.Code == nil {
		s.print("nothing waits to be broken\n")
		return
	}
	if early {
		s.warn("not before %s", wording.Time(queue[0].Window.Opens, v.zone()))
	}
	s.print("%s%s%s\n", *doc.Code, spelled("  board ", doc.Board), spelled("  ", doc.Adhesive))
	if doc.After != nil {
		s.print("then %s; %d left\n", *doc.After, doc.Left)
	}
	if again := againText(v.rec.Life(queue[0].Specimen.Code)); again != "" {
		s.say("break it%s; soaktag log %s --stage withdrawn leaves it out from now on", again, *doc.Code)
	}
	s.hint("soaktag break %s --reading \"...\"%s --ended separated", *doc.Code, rigHint(v.rec.Study()))
}

// spelled is the text behind its lead, or nothing.
func spelled(lead string, text *string) string {
	if text == nil {
		return ""
	}
	return lead + *text
}
