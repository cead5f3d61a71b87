package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// breakCommand records one try at breaking a specimen.
func (s *session) breakCommand() *cli.Command {
	return &cli.Command{
		Name:      "break",
		Usage:     "record one try at breaking a specimen",
		ArgsUsage: "CODE | dummy",
		Description: "dummy is a bond broken to try the rig before lift-out; it counts in no result.\n" +
			"ENDED is separated, stopped, \"fixture gave way\", slipped, \"press limit\", \"bottomed out\"\n" +
			"or \"fell apart\"; as much as tells them apart will do. Bottomed out and fell apart have no\n" +
			"reading. At a terminal it asks for what is missing, the reading first. Every try is kept; the last that separated is the break. Force and\n" +
			"stress are shown after the reading is saved, not before.",
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
	if c.NArg() == 1 && isDummy(b.rec, c.Args().First()) {
		return b.breakDummy(c)
	}
	sub, err := b.one(c, "CODE")
	if err != nil {
		return err
	}
	b.foresee(c, sub)
	try, err := b.tried(c)
	if err == nil {
		err = b.judged(c, &try)
	}
	if err != nil {
		return b.resume(err, sub, try)
	}
	fact := b.about(b.entry.event(tracker.Tried), sub)
	fact.Try = &try
	if err := b.keep(fact); err != nil {
		return err
	}
	return b.sayStress(sub, try)
}

// foresee says before any question is put what the record will ask of a break
// of this specimen.
func (b *book) foresee(c *cli.Context, sub subject) {
	if !b.terminal && c.IsSet("ended") {
		return // the record says it at once
	}
	life := lifeOf(b.rec, sub)
	switch {
	case life == nil:
		b.warn("%s was never dealt in this study: a break of it is kept, and asks", sub.shown())
	case life.End != "":
		b.warn("%s is %s: a break of it is kept, and asks", sub.shown(), life.End)
	case life.Next == "":
		b.warn("%s is broken already: another try is kept, and asks", sub.shown())
	case life.Next != schedule.Break:
		b.warn("%s still has its %s to come: a break now is kept, and asks", sub.shown(), life.NextNamed())
	}
}

// resume tells whoever stopped half way what to type to go on from there.
func (b *book) resume(err error, sub subject, try tracker.Try) error {
	var gave *stopped
	if !b.terminal || !errors.As(err, &gave) {
		return err
	}
	reading, how := orUnknown(try.Reading, "1310 psi"), try.How
	if how == "" {
		how = tracker.Separated
	}
	if try.Reading == "" && !loads(how) {
		return withHint(err, "soaktag break %s --ended %q", shellWord(sub.shown()), how)
	}
	return withHint(err, "soaktag break %s --reading %q%s --ended %q", shellWord(sub.shown()), reading, rigHint(b.rec.Study()), how)
}

// tried reads what is to be said of a try, in the order in which the press shows
// it: the reading first, then how it ended.
func (b *book) tried(c *cli.Context) (try tracker.Try, err error) {
	if b.terminal && !c.IsSet("ended") && !c.IsSet("reading") {
		try.Reading, err = b.need(c, "reading", question{"READING, with its unit (Enter for none: it fell apart, or bottomed out)", "1310 psi", false, readable(quantity.ParseReading)})
		if err != nil {
			return try, err
		}
	} else {
		try.Reading = strings.TrimSpace(c.String("reading"))
	}
	if try.How, err = b.how(c, try.Reading); err != nil {
		return try, err
	}
	if try.Reading, err = b.reading(c, try); err != nil {
		return try, err
	}
	try.Rig, err = b.rig(c, try.How)
	return try, err
}

// how is how the try ended. At a terminal the ways are numbered.
func (b *book) how(c *cli.Context, reading string) (tracker.How, error) {
	text, err := b.need(c, "ended", question{"ENDED (" + numberedEndings() + ")", "separated", true, func(answer string) error {
		how, err := parseHow(numbered(answer))
		if err == nil && reading != "" && !loads(how) {
			err = usageError("%s gives no reading, and the reading given is %s", how, reading)
		}
		return err
	}})
	if err != nil {
		return "", err
	}
	return parseHow(numbered(text))
}

// loads reports whether a try that ended so can have a reading.
func loads(how tracker.How) bool { return how != tracker.FellApart && how != tracker.BottomedOut }

// endings lists how a try can end.
func endings() []tracker.How {
	return []tracker.How{tracker.Separated, tracker.Stopped, tracker.FixtureGave, tracker.Slipped,
		tracker.PressLimit, tracker.BottomedOut, tracker.FellApart}
}

func numberedEndings() string {
	var names []string
	for i, how := range endings() {
		names = append(names, fmt.Sprintf("%d %s", i+1, how))
	}
	return strings.Join(names, ", ")
}

// numbered is the ending that a number of the list stands for, else the text.
func numbered(text string) string {
	if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(endings()) {
		return string(endings()[n-1])
	}
	return text
}

// parseHow reads how a try ended: in full, or so much of it that only one
// ending begins so. Results call fixture gave way a fixture failure.
func parseHow(text string) (tracker.How, error) {
	word := tracker.PlainWord(text)
	var names []string
	var begin []tracker.How
	for _, how := range endings() {
		if tracker.PlainWord(string(how)) == word {
			return how, nil
		}
		if word != "" && strings.HasPrefix(tracker.PlainWord(string(how)), word) {
			begin = append(begin, how)
		}
		names = append(names, string(how))
	}
	if word == "fixturefailure" {
		return tracker.FixtureGave, nil
	}
	if len(begin) == 1 {
		return begin[0], nil
	}
	return "", usageError("%q is no way for a try to end; ways are %s; nothing recorded", text, strings.Join(names, ", "))
}

// reading is the gauge's reading: none where the bond fell apart or the ram
// bottomed out, and not needed where it slipped.
func (b *book) reading(c *cli.Context, try tracker.Try) (text string, err error) {
	how := try.How
	if !loads(how) {
		if try.Reading != "" {
			return "", usageError("%s gives no reading: leave --reading out, or say how the try ended otherwise; nothing recorded", how)
		}
		return "", nil
	}
	if text = try.Reading; text == "" {
		text, err = b.need(c, "reading", question{"READING, with its unit", "1310 psi", how != tracker.Slipped, readable(quantity.ParseReading)})
	}
	if err != nil || text == "" {
		return "", err
	}
	read, err := quantity.ParseReading(text)
	if err != nil {
		return "", refused(fmt.Errorf("reading: %w; nothing recorded", err))
	}
	if !(read.Value > 0) && how == tracker.Separated {
		return "", withHint(usageError("a reading of %s is no load; nothing recorded", read), "a bond that came apart without load: --ended \"fell apart\"")
	}
	return text, nil
}

// rig is the rig used: one of the plan's, its only one unless named.
func (b *book) rig(c *cli.Context, how tracker.How) (string, error) {
	rigs := b.rec.Study().Rigs
	named := c.String("rig")
	if named == "" && (len(rigs) == 0 || how == tracker.FellApart) {
		return "", nil
	}
	if named == "" && len(rigs) == 1 {
		return rigs[0].Name, nil
	}
	named, err := b.need(c, "rig", question{"RIG (" + rigNames(rigs) + ")", rigName(rigs), true, readable(b.rigNamed)})
	if err != nil {
		return "", err
	}
	return b.rigNamed(named)
}

// rigNamed finds a rig of the plan by its name. One that the plan does not
// know is most likely mistyped; --yes says that it is not.
func (b *book) rigNamed(named string) (string, error) {
	rigs := b.rec.Study().Rigs
	named = strings.TrimSpace(named)
	if rig := b.rec.Study().Rig(named); rig != nil {
		return rig.Name, nil
	}
	if b.entry.Yes {
		b.warn("the plan has no rig %q: no force can be computed from its gauge pressure", named)
		return named, nil
	}
	return "", withHint(usageError("the plan has no rig %q; it has: %s; nothing recorded", named, orNone(rigNames(rigs))),
		"name one of these with --rig, or add --yes to record the other one all the same")
}

// rigHint is the flag that names the rig, where there is a choice.
func rigHint(study *tracker.Study) string {
	if len(study.Rigs) < 2 {
		return ""
	}
	return " --rig NAME"
}

func rigNames(rigs []tracker.Rig) string {
	var names []string
	for _, r := range rigs {
		names = append(names, r.Name)
	}
	return strings.Join(names, ", ")
}

func rigName(rigs []tracker.Rig) string {
	if len(rigs) == 0 {
		return "NAME"
	}
	return rigs[0].Name
}

// judged reads what can be left for later, the faces, and the state.
func (b *book) judged(c *cli.Context, try *tracker.Try) error {
	wood, err := b.later(c, try.How, "wood-failure", question{"WOOD FAILURE, percent (Enter to read the faces later)", "80", false, readable(parsePercent)})
	if err != nil {
		return err
	}
	try.Mode = strings.TrimSpace(c.String("mode"))
	if wood != "" {
		percent, err := parsePercent(wood)
		if err != nil {
			return err
		}
		try.WoodFailure = &percent
		if try.Mode, err = b.later(c, try.How, "mode", question{"FAILURE MODE (Enter for none)", "SF", false, anyWords}); err != nil {
			return err
		}
	}
	if c.IsSet("state") {
		try.State, err = parseState(c.String("state"))
	}
	return err
}

// later asks only where there are faces to look at, and nobody said that there
// is nothing to ask.
func (b *book) later(c *cli.Context, how tracker.How, flag string, q question) (string, error) {
	parted := how == tracker.Separated || how == tracker.FellApart
	if !parted || b.entry.Yes {
		return strings.TrimSpace(c.String(flag)), nil
	}
	return b.need(c, flag, q)
}

// sayStress shows what a saved reading means: force, and stress over the bond.
// It names no adhesive: breaking stays blind.
func (b *book) sayStress(sub subject, try tracker.Try) error {
	read, err := quantity.ParseReading(try.Reading)
	if err != nil {
		return nil // there was no reading
	}
	force, err := read.Force(b.ram(try.Rig))
	if err != nil {
		b.warn("no force can be computed from %s: %v", read, err)
		return nil
	}
	rec, err := b.db.State()
	if err != nil {
		return err
	}
	in := rec.Study().Units
	text := fmt.Sprintf("%s at the gauge is %s", read, in.Force(force))
	if life := lifeOf(rec, sub); life != nil && life.BondLength > 0 && life.BondWidth > 0 {
		stress := quantity.Stress(force, quantity.Rectangle(life.BondLength, life.BondWidth))
		text += fmt.Sprintf(", %s%s over the %s area", boundText(try.How), pressureText(in, stress), areaWord(life))
	}
	b.say("%s", text)
	return nil
}

func (b *book) ram(rig string) quantity.Area {
	if r := b.rec.Study().Rig(rig); r != nil {
		return r.RamArea
	}
	return 0
}

func lifeOf(rec *tracker.Record, sub subject) *tracker.Life {
	code, err := labels.Parse(sub.code)
	if err == nil {
		return rec.Life(code.Whole())
	}
	sp, _, err := rec.Resolve(sub.code)
	if err != nil {
		return nil
	}
	return rec.Life(sp.Code)
}

// boundText marks a reading that the bond survived.
func boundText(how tracker.How) string {
	if how == tracker.Separated {
		return ""
	}
	return "at least "
}

func areaWord(life *tracker.Life) string {
	if life.Nominal {
		return "nominal"
	}
	return "measured"
}
