package main

import (
	"errors"
	"fmt"

	"github.com/urfave/cli/v2"

	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// rightGiven refuses --correct that does not say what is right, and why.
func rightGiven(c *cli.Context) error {
	if c.Bool("correct") && (!c.IsSet("stage") && !c.IsSet("at") || c.String("reason") == "") {
		return withHint(usageError("--correct wants what is right and a reason that stays on record; nothing recorded"),
			"soaktag read %s --stage STAGE --correct --reason \"why\"; or --at TIME for another time", wording.ShellWord(c.Args().First()))
	}
	return nil
}

// A photoReading is one run of read that records.
type photoReading struct {
	*book
	roll  *intake.Roll
	shots map[*intake.Photograph]*shot
	json  bool
	docs  []photoDoc
}

func (b *book) readPhotos(c *cli.Context, shots []*shot) error {
	given := intake.Given{Correct: c.Bool("correct"), Any: c.Bool("any"), At: c.String("at"), Words: c.Args().Slice()}
	if c.IsSet("stage") {
		stage, err := intake.ParseStage(b.desk.Record(), c.String("stage"))
		if err != nil {
			return desked(err)
		}
		given.Stage = stage
	}
	if err := b.readShots(shots, intake.Printed(b.desk.Record()), photo.Options{Any: given.Any}); err != nil {
		return err
	}
	r := b.photoReading(given, shots)
	r.json = c.Bool("json")
	if err := r.takeAll(); err != nil {
		return err
	}
	if r.json {
		if err := b.session.json(c, "read/1", readDoc{r.docs}); err != nil {
			return err
		}
	}
	for i, p := range r.roll.Photographs {
		shots[i] = r.shots[p] // in the order of their time
	}
	if err := b.showShots(c.String("show"), shots); err != nil {
		return err
	}
	return noneRead(shots)
}

func (b *book) photoReading(given intake.Given, shots []*shot) *photoReading {
	r := &photoReading{book: b, shots: map[*intake.Photograph]*shot{}, docs: []photoDoc{}}
	var photographs []*intake.Photograph
	for _, sh := range shots {
		photographs = append(photographs, &sh.Photograph)
		r.shots[&sh.Photograph] = sh
	}
	r.roll = b.desk.Roll(given, photographs...)
	return r
}

// takeAll records the photographs in the order of their time, and says what
// became of them, of an interrupted run too.
func (r *photoReading) takeAll() error {
	err := r.takeInOrder()
	if errors.Is(err, errInterrupted) {
		r.telling("", wording.Note(r.roll.Interrupted(), nil))
		return err
	}
	r.hear("", r.roll.Close())
	if err != nil {
		return err
	}
	out, err := r.desk.Close()
	r.hear("", out)
	return err
}

func (r *photoReading) takeInOrder() error {
	if err := r.date(); err != nil {
		return err
	}
	for _, p := range r.roll.Photographs {
		if p.Err != nil {
			continue
		}
		if r.stopped() {
			return errInterrupted
		}
		out, err := r.desk.Take(p)
		r.hear(p.Name, out)
		if err != nil {
			return fmt.Errorf("%s: %w", p.Name, desked(err))
		}
		if p.Err == nil { // else it was left out, which is told last
			r.docs = append(r.docs, r.docOf(r.shots[p], out))
		}
	}
	for _, p := range r.roll.Photographs {
		if p.Err != nil {
			r.tellUnread(r.shots[p], len(r.roll.Photographs))
			r.docs = append(r.docs, r.shots[p].doc())
		}
	}
	return nil
}

// date finds out when the photographs were taken, and asks where it is not
// known and somebody is there.
func (r *photoReading) date() error {
	out, err := r.roll.Clocks()
	r.hear("", out)
	if err != nil {
		return err
	}
	if r.stopped() {
		return errInterrupted
	}
	for _, p := range r.roll.Timeless() {
		if !r.terminal {
			break
		}
		if p.Err = r.askWhen(p); errors.Is(p.Err, errInterrupted) {
			return p.Err
		}
	}
	r.hear("", r.roll.Order())
	return nil
}

// askWhen asks until the answer is a time or nothing.
func (r *photoReading) askWhen(p *intake.Photograph) error {
	for {
		answer, err := r.ask(fmt.Sprintf("%s has no time in it: when was it taken? A time, or a range A..B (Enter leaves it out)", p.Name))
		if err != nil || answer == "" {
			return errors.Join(err, intake.ErrNoTime)
		}
		span, doubts, err := schedule.ParseTime(answer, r.now(), r.zone())
		if err != nil {
			r.warn("%v", err)
			continue
		}
		r.say("at %s", wording.Span(span, r.zone()))
		p.Said, p.Doubt = span, schedule.InDoubt(doubts)
		return r.settle(answer, doubts, r.desk.Yes)
	}
}

// hear prints what the desk says of a photograph: on stdout what was seen, and
// on stderr the rest. Whatever it warns of wants attention, but for what the
// study should have thought of before.
func (r *photoReading) hear(name string, out intake.Outcome) {
	for _, n := range out.Notes {
		sentences := wording.Note(n, r.desk.Record().Study())
		r.telling(name, sentences)
		switch n := n.(type) {
		case intake.PhotographSeen:
			r.list(wording.PhotographSeen(n, r.zone()))
		case intake.ForeignCode:
			r.list(wording.ForeignCode(n))
		case intake.LabelSeen:
			r.list(wording.LabelSeen(n, r.zone()))
		case intake.RollAsks:
			r.attention = true
		case intake.UntriedLabels, intake.UntriedRigs:
		default:
			r.attention = r.attention || anyWarned(sentences) || intake.AsksSomething(n)
		}
	}
}

// list prints a line for a person; a script gets one document of all.
func (r *photoReading) list(line string) {
	if !r.json {
		r.print("%s\n", line)
	}
}
