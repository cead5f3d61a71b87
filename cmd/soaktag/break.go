package main

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
)

// breakCommand records one try at breaking a specimen.
func (s *session) breakCommand() *cli.Command {
	return &cli.Command{
		Name:      "break",
		Usage:     "record one try at breaking a specimen",
		ArgsUsage: "CODE | dummy",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "reading", Usage: "highest `READING` of the gauge with its unit, \"1310 psi\""},
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
	if c.NArg() == 1 && intake.IsDummy(b.desk.Record(), form.Subject) {
		return b.breakDummy(c, form)
	}
	sub, err := b.one(c, "CODE")
	if err != nil {
		return err
	}
	form.Subject = sub.Text
	if b.terminal || !c.IsSet("ended") { // else the record says it at once
		b.tell(b.desk.Foresee(sub))
	}
	how, err := b.askTry(c, &form)
	if err == nil {
		err = b.askFaces(c, how, &form)
	}
	if err != nil {
		return b.resume(err, sub, form)
	}
	return b.take(form)
}

// breakDummy records one try at breaking a dummy: a bond broken to try a rig
// before anything waits wet for it.
func (b *book) breakDummy(c *cli.Context, form intake.Try) error {
	if err := intake.OfDummy(c.IsSet); err != nil {
		return desked(err)
	}
	if _, err := b.askTry(c, &form); err != nil {
		return b.resume(err, intake.Dummy(), form)
	}
	return b.take(form)
}

// resume tells whoever stopped half way what to type to go on from there.
func (b *book) resume(err error, sub intake.Subject, form intake.Try) error {
	var gave *stopped
	if !b.terminal || !errors.As(err, &gave) {
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

// askTry asks for what was not said of a try, in the order in which the press
// shows it: the reading first, then how it ended.
func (b *book) askTry(c *cli.Context, form *intake.Try) (how tracker.How, err error) {
	if b.terminal && !c.IsSet("ended") && !c.IsSet("reading") {
		form.Reading, err = b.need(c, "reading", question{"READING, with its unit (Enter for none: it fell apart, or bottomed out)", "1310 psi", false, b.readsGauge})
		if err != nil {
			return "", err
		}
	}
	if form.Ended, err = b.askEnded(c, form.Reading); err != nil {
		return "", err
	}
	if how, err = intake.ParseEnded(form.Ended); err != nil {
		return "", desked(err)
	}
	if err := b.askReading(c, how, form); err != nil {
		return how, err
	}
	if b.desk.AsksRig(how) {
		rigs := b.desk.Record().Study().Rigs
		form.Rig, err = b.need(c, "rig", question{"RIG (" + intake.RigNames(rigs) + ")", rigs[0].Name, true, readable(b.desk.ParseRig)})
	}
	return how, err
}

// askEnded asks how the try ended. At a terminal the ways are numbered.
func (b *book) askEnded(c *cli.Context, reading string) (string, error) {
	text, err := b.need(c, "ended", question{"ENDED (" + numberedEndings() + ")", "separated", true, func(answer string) error {
		how, err := intake.ParseEnded(numbered(answer))
		if err == nil && reading != "" && !how.Loads() {
			err = usageError("%s gives no reading, and the reading given is %s", how, reading)
		}
		return err
	}})
	return numbered(text), err
}

func numberedEndings() string {
	var names []string
	for i, how := range tracker.Endings() {
		names = append(names, fmt.Sprintf("%d %s", i+1, how))
	}
	return strings.Join(names, ", ")
}

// numbered is the ending that a number of the list stands for, else the text.
func numbered(text string) string {
	endings := tracker.Endings()
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(endings) {
		return string(endings[n-1])
	}
	return text
}

// askReading asks for the reading of a try that can have one.
func (b *book) askReading(c *cli.Context, how tracker.How, form *intake.Try) error {
	if form.Reading == "" && how.Loads() {
		text, err := b.need(c, "reading", question{"READING, with its unit", "1310 psi", how.NeedsReading(), b.readsGauge})
		if err != nil || text == "" {
			return err
		}
		form.Reading = text
	}
	_, err := intake.ParseReading(b.desk.Record().Study().Units, how, form.Reading)
	return desked(err)
}

// readsGauge reports whether an answer is a reading, in words of the study's units.
func (b *book) readsGauge(answer string) error {
	_, err := quantity.ParseReading(answer)
	return b.desk.Record().Study().Units.Explain(err)
}

// askFaces asks for what can be left for later, the faces, and checks the state.
func (b *book) askFaces(c *cli.Context, how tracker.How, form *intake.Try) (err error) {
	form.WoodFailure, err = b.later(c, how, "wood-failure", question{"WOOD FAILURE, percent (Enter to read the faces later)", "80", false, readable(intake.ParsePercent)})
	if err != nil {
		return err
	}
	if form.WoodFailure != "" {
		if _, err := intake.ParsePercent(form.WoodFailure); err != nil {
			return desked(err)
		}
		if form.Mode, err = b.later(c, how, "mode", question{"FAILURE MODE (Enter for none)", "SF", false, anyWords}); err != nil {
			return err
		}
	}
	if c.IsSet("state") {
		_, err = intake.ParseState(form.State)
	}
	return desked(err)
}

// later asks only where there are faces to look at, and nobody said that there
// is nothing to ask.
func (b *book) later(c *cli.Context, how tracker.How, flag string, q question) (string, error) {
	if !how.Parts() || b.desk.Yes {
		return strings.TrimSpace(c.String(flag)), nil
	}
	return b.need(c, flag, q)
}
