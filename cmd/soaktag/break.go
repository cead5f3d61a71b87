package main

import (
	"cmp"
	"errors"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// breakCommand records one try at breaking a specimen.
func (s *session) breakCommand() *cli.Command {
	return &cli.Command{
		Name:      "break",
		Usage:     "record tries at breaking: a whole session at the press, or one",
		ArgsUsage: "[CODE | dummy]",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "reading", Usage: "highest `READING` of the gauge, \"1310 psi\"; a bare number is in the gauge's unit"},
			&cli.StringFlag{Name: "rig", Usage: "`NAME` of the rig in the plan; its only one unless given"},
			&cli.StringFlag{Name: "ended", Usage: "how the try `ENDED`"},
			&cli.StringFlag{Name: "wood-failure", Usage: "`PERCENT` of the face that failed in the wood, if judged now"},
			&cli.StringFlag{Name: "mode", Usage: "failure `MODE`, if judged now"},
			&cli.StringFlag{Name: "state", Usage: "`STATE` at the break where it is not as planned: wet, part-dried, re-dried, dry"}),
		Action: func(c *cli.Context) error { return s.write(c, func(b *book) error { return b.breakOne(c) }) },
	}
}

func (b *book) breakOne(c *cli.Context) error {
	form := intake.Try{Subject: c.Args().First(), Reading: strings.TrimSpace(c.String("reading")), Ended: c.String("ended"), Rig: c.String("rig"),
		WoodFailure: c.String("wood-failure"), Mode: c.String("mode"), State: c.String("state")}
	if c.NArg() == 0 && form == (intake.Try{Rig: form.Rig}) {
		return b.sit(b.desk.SitAtPress(form.Rig))
	}
	if c.NArg() == 1 && intake.IsDummy(b.desk.Record(), form.Subject) {
		if err := intake.OfDummy(c.IsSet); err != nil {
			return desked(err)
		}
		return b.fillTry(intake.Dummy(), form)
	}
	sub, err := b.one(c, "CODE")
	if err != nil {
		return err
	}
	form.Subject = sub.Text
	if b.terminal || !c.IsSet("ended") { // else the record says it at once
		b.tell(b.desk.Foresee(sub))
	}
	return b.fillTry(sub, form)
}

// fillTry asks at a terminal for what the form lacks, and records it.
func (b *book) fillTry(sub intake.Subject, form intake.Try) error {
	if !b.terminal {
		return b.take(form)
	}
	filling, err := b.desk.Fill(sub, form)
	if err != nil {
		return desked(err)
	}
	if err := b.fill(filling); err != nil {
		return b.resume(err, sub, filling.Break())
	}
	return b.take(filling.Break())
}

// resume tells whoever stopped half way what to type to go on from there.
func (b *book) resume(err error, sub intake.Subject, form intake.Try) error {
	var gave *stopped
	if !errors.As(err, &gave) {
		return err
	}
	how, unread := tracker.ParseHow(form.Ended)
	if unread != nil {
		how = tracker.Separated
	}
	subject := wording.ShellWord(sub.String())
	if form.Reading == "" && !how.Loads() {
		return withHint(err, "soaktag break %s --ended %q", subject, how)
	}
	return withHint(err, "soaktag break %s --reading %q%s --ended %q", subject, cmp.Or(form.Reading, "1310 psi"), wording.RigFlag(b.desk.Record().Study()), how)
}

// A stopped error says that somebody at a terminal did not answer a question.
type stopped struct{ error }

func (e *stopped) Unwrap() error { return e.error }

// fill puts the questions of a form until nothing is missing, or somebody gives
// up: with q, or twice with nothing where an answer must be.
func (b *book) fill(f *intake.Filling) error {
	empty := 0
	for q := f.Asks(); q != nil; q = f.Asks() {
		text, err := b.ask(wording.Question(q, b.zone()))
		if err != nil {
			return err
		}
		var out intake.Outcome
		if strings.EqualFold(text, "q") {
			return &stopped{usageError("stopped; nothing recorded")}
		}
		if answered := f.Answer(&out, text); !answered && text == "" {
			empty++
		}
		b.tell(out)
		if empty > 1 {
			return &stopped{usageError("not answered; nothing recorded")}
		}
	}
	return nil
}
