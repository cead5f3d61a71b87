package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
)

// amendCommand puts the record right. Nothing is overwritten: every correction
// is an event of its own, with who, when and why.
func (s *session) amendCommand() *cli.Command {
	amend := func(do func(*book, *cli.Context) error) cli.ActionFunc {
		return func(c *cli.Context) error {
			return s.amending(c, func(b *book) error {
				if b.entry.Reason == "" {
					return usageError("amend %s wants a reason that stays on record: add --reason \"why\"", c.Command.Name)
				}
				return do(b, c)
			})
		}
	}
	return &cli.Command{
		Name:  "amend",
		Usage: "put the record right, with a reason",
		Description: "EVENT is last, the beginning of an event's id, or its number in the log.\n" +
			"Nothing is overwritten: the old entry stays on record beside the new one.",
		Subcommands: []*cli.Command{
			{Name: "void", Usage: "take an event out of the count", ArgsUsage: "EVENT", Flags: entryFlags(), Action: amend((*book).amendVoid)},
			{Name: "correct", Usage: "replace what an event says", ArgsUsage: "EVENT FIELD=VALUE...", Flags: entryFlags(),
				Description: "FIELD is " + strings.Join(correctable(), ", ") + ",\nor a measured name such as bond_length.",
				Action:      amend((*book).amendCorrect)},
			{Name: "exchange", Usage: "two labels sat on each other's specimen", ArgsUsage: "A B --from TIME",
				Flags: append(entryFlags(),
					&cli.StringFlag{Name: "from", Usage: "`TIME` from which they were exchanged"},
					&cli.StringFlag{Name: "until", Usage: "`TIME` until which they were exchanged (for ever unless given)"}),
				Action: amend((*book).amendExchange)},
			{Name: "relabel", Usage: "a label was printed again, or an unknown code is explained", ArgsUsage: "CODE/HALF",
				Flags: append(entryFlags(),
					&cli.StringFlag{Name: "was", Usage: "the unknown `CODE` that meant this specimen"},
					&cli.StringFlag{Name: "until", Usage: "with --was: `TIME` until which it did (for ever unless given)"}),
				Action: amend((*book).amendRelabel)},
			{Name: "move", Usage: "a specimen went into another bath", ArgsUsage: "CODE... --bath BATH",
				Flags:  append(entryFlags(), &cli.StringFlag{Name: "bath", Usage: "the `BATH` it went into"}),
				Action: amend((*book).amendMove)},
			amendPlanCommand(amend((*book).amendPlan)),
			amendAddCommand(amend((*book).amendAdd)),
		},
	}
}

// standing finds the event to amend: one that can be, and still counts.
func (b *book) standing(c *cli.Context) (tracker.Event, error) {
	if c.NArg() == 0 {
		return tracker.Event{}, usageError("amend %s wants an event: last, the beginning of its id, or its number; soaktag history CODE lists them", c.Command.Name)
	}
	e, err := intake.EventNamed(b.rec, c.Args().First())
	switch {
	case err != nil:
		return e, desked(err)
	case e.Kind == tracker.Begun:
		return e, usageError("the event that began the study cannot be amended; begin another study instead")
	case b.rec.Voided(e.ID):
		return e, usageError("%s", wording.Cause(intake.AlreadyAside{Event: e}))
	}
	return e, nil
}

func (b *book) amendVoid(c *cli.Context) error {
	if err := oneEvent(c); err != nil {
		return err
	}
	if c.NArg() > 1 {
		return usageError("amend void takes one event, got %s", wording.Plural(c.NArg(), "word"))
	}
	return b.take(intake.Void{Event: c.Args().First()})
}

func oneEvent(c *cli.Context) error {
	if c.NArg() == 0 {
		return usageError("amend %s wants an event: last, the beginning of its id, or its number; soaktag history CODE lists them", c.Command.Name)
	}
	return nil
}

func (b *book) amendCorrect(c *cli.Context) error {
	old, err := b.standing(c)
	if err != nil {
		return err
	}
	if c.NArg() < 2 && !c.IsSet("at") {
		return usageError("amend correct wants FIELD=VALUE; fields are %s, or a measured name", strings.Join(correctable(), ", "))
	}
	fresh, err := b.corrected(old, c.Args().Tail())
	if err != nil {
		return err
	}
	if c.IsSet("at") {
		fresh.At, fresh.Doubt, fresh.DeviceTime = b.entry.At, b.entry.Doubt, false
	}
	b.say("replaces: %s  %s  %s", wording.Whom(old), wording.What(old), wording.Span(old.At, b.zone()))
	before := b.askingNow()
	if err := b.keep(fresh); err != nil {
		return err
	}
	if fresh.Try != nil {
		out, err := b.desk.Weigh(fresh)
		if b.tell(out); err != nil {
			return err
		}
	}
	return b.sayNewMarks(before, fresh.ID)
}

// corrected is old with the fields named changed, as an event of its own that
// points at old.
func (b *book) corrected(old tracker.Event, words []string) (tracker.Event, error) {
	now := b.entry.event(old.Kind)
	fresh := old
	fresh.Seq, fresh.ID, fresh.Target = 0, now.ID, old.ID
	fresh.Recorded, fresh.Reason = now.Recorded, now.Reason
	if now.By != "" {
		fresh.By = now.By
	}
	if now.Note != "" {
		fresh.Note = now.Note
	}
	fresh.Values = slices.Clone(old.Values)
	if old.Try != nil {
		try := *old.Try
		fresh.Try = &try
	}
	if old.Faces != nil {
		faces := *old.Faces
		fresh.Faces = &faces
	}
	for _, word := range words {
		field, text, ok := strings.Cut(word, "=")
		if !ok {
			return fresh, usageError("%q is not FIELD=VALUE; for example stage=lift-out", word)
		}
		if err := b.correct(&fresh, plainField(field), strings.TrimSpace(text)); err != nil {
			return fresh, err
		}
	}
	return fresh, nil
}

func plainField(field string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(field)), "-", "_")
}

func correctable() []string {
	return []string{"at", "code", "half", "stage", "ended", "reading", "rig", "wood_failure", "mode", "shallow", "state", "note", "by", "shown", "until"}
}

// correct changes one field of an event.
func (b *book) correct(e *tracker.Event, field, text string) error {
	switch field {
	case "at", "shown", "until":
		return b.correctTime(e, field, text)
	case "note":
		e.Note = text
		return nil
	case "by":
		e.By = text
		return nil
	case "code", "half":
		return b.correctSubject(e, field, text)
	case "stage":
		return b.correctStage(e, text)
	case "ended", "reading", "rig", "state", "wood_failure", "mode", "shallow":
		if e.Kind != tracker.Measured {
			return b.correctBreak(e, field, text)
		}
	}
	return correctValue(e, field, text)
}

func (b *book) correctTime(e *tracker.Event, field, text string) error {
	span, doubt, err := b.when(field, text)
	switch {
	case err != nil:
		return err
	case field == "at":
		e.At, e.Doubt, e.DeviceTime = span, doubt, false
	case field == "until":
		e.Until = span
	case !span.Exact():
		return usageError("shown wants an instant, not a range")
	default:
		e.Shown = span.From
	}
	return nil
}

// when reads a time from another place than --at, and echoes it. doubt is what
// a clock change makes doubtful about it.
func (b *book) when(name, text string) (span schedule.Span, doubt string, err error) {
	span, doubts, err := schedule.ParseTime(text, b.entry.Recorded, b.zone())
	if err != nil {
		return span, "", refused(fmt.Errorf("%s: %w; nothing recorded", name, err))
	}
	b.say("%s %s", name, wording.Span(span, b.zone()))
	if name == "until" { // may well lie ahead
		doubts = slices.DeleteFunc(doubts, func(d schedule.Doubt) bool { return d == schedule.Future })
	}
	return span, schedule.InDoubt(doubts), b.settle(text, doubts, b.entry.Yes)
}

func (b *book) correctSubject(e *tracker.Event, field, text string) error {
	if e.Kind == tracker.PlanAmended {
		return usageError("an amendment is about no one code; void it and amend again; nothing recorded")
	}
	if field == "half" {
		half, err := strconv.Atoi(text)
		if err != nil || half < 0 || half > 2 {
			return usageError("half is 1, 2, or 0 for none; got %q", text)
		}
		e.Half = half
		return nil
	}
	sub, err := b.specimen(text)
	if err != nil {
		return err
	}
	e.Code = sub.code
	if sub.half != 0 {
		e.Half = sub.half
	}
	return nil
}

func (b *book) correctStage(e *tracker.Event, text string) error {
	if end, ok := parseEnding(text); ok && (e.Kind == tracker.Ended || e.Kind == tracker.Staged) {
		e.Kind, e.End, e.Stage = tracker.Ended, end, ""
		return nil
	}
	if e.Kind != tracker.Staged && e.Kind != tracker.Ended {
		return usageError("a %s has no stage; void it and record it again", wording.What(*e))
	}
	stage, err := parseStage(b.rec, text)
	if err != nil {
		return err
	}
	e.Kind, e.Stage, e.End = tracker.Staged, stage, ""
	return nil
}

// correctBreak changes a field of a try or of the fracture faces.
func (b *book) correctBreak(e *tracker.Event, field, text string) (err error) {
	switch {
	case e.Faces != nil:
		return correctFaces(e.Faces, field, text)
	case e.Try == nil:
		return usageError("a %s has no %s", wording.What(*e), field)
	}
	switch field {
	case "ended":
		e.Try.How, err = intake.ParseEnded(text)
	case "reading":
		if _, err = quantity.ParseReading(text); err != nil && text != "" {
			return refused(fmt.Errorf("reading: %w; nothing recorded", err))
		}
		e.Try.Reading, err = text, nil
	case "rig":
		e.Try.Rig, err = b.desk.ParseRig(text)
	case "state":
		e.Try.State, err = intake.ParseState(text)
	case "mode":
		e.Try.Mode = text
	case "wood_failure":
		e.Try.WoodFailure, err = percentOrNone(text)
	default:
		return usageError("a break has no %s", field)
	}
	return desked(err)
}

func percentOrNone(text string) (*float64, error) {
	if text == "" || text == "none" {
		return nil, nil
	}
	percent, err := intake.ParsePercent(text)
	return &percent, err
}

func correctFaces(f *tracker.Faces, field, text string) (err error) {
	switch field {
	case "wood_failure":
		f.WoodFailure, err = intake.ParsePercent(text)
	case "mode":
		f.Mode = text
	case "shallow":
		f.Shallow, err = strconv.ParseBool(text)
		if err != nil {
			err = usageError("shallow is true or false, got %q", text)
		}
	default:
		return usageError("faces have no %s", field)
	}
	return desked(err)
}

// correctValue changes a measured value, or adds it.
func correctValue(e *tracker.Event, field, text string) error {
	if e.Kind != tracker.Measured {
		return usageError("%q is nothing that can be corrected in a %s; fields are %s", field, wording.What(*e), strings.Join(correctable(), ", "))
	}
	v, err := intake.ParseValue(field, text)
	if err != nil {
		return desked(err)
	}
	i := slices.IndexFunc(e.Values, func(old tracker.Value) bool { return old.Name == v.Name })
	if i < 0 {
		e.Values = append(e.Values, v)
	} else {
		e.Values[i] = v
	}
	return nil
}

// amend hands an amendment to the desk. sure: doubtful times were asked about,
// or there is nobody to ask.
func (b *book) amend(form func(sure bool) intake.Input) error {
	out, err := b.desk.Take(form(!b.terminal))
	var r *intake.Refusal
	if !errors.As(err, &r) || r.Cause != (intake.InDoubt{}) {
		return b.came(out, err)
	}
	for _, n := range out.Notes {
		if err := b.sureOf(n); err != nil {
			return err
		}
	}
	out, err = b.desk.Take(form(true))
	out.Notes = slices.DeleteFunc(out.Notes, isTime)
	return b.came(out, err)
}

// isTime reports whether a note says how a time was understood.
func isTime(n intake.Note) bool {
	switch n.(type) {
	case intake.TimeRead, intake.TimeDoubted:
		return true
	}
	return false
}

// sureOf tells a note; a doubtful time is asked about.
func (b *book) sureOf(n intake.Note) error {
	doubt, ok := n.(intake.TimeDoubted)
	if !ok {
		b.tell(intake.Outcome{Notes: []intake.Note{n}})
		return nil
	}
	answer, err := b.ask(wording.TimeDoubted(doubt) + "; record it all the same? [y/N]")
	if err == nil && !isYes(answer) {
		err = usageError("not recorded: give another time with --at")
	}
	return err
}

func (b *book) amendRelabel(c *cli.Context) error {
	if c.NArg() != 1 {
		return usageError("amend relabel wants one CODE/HALF, got %s", wording.Plural(c.NArg(), "word"))
	}
	if err := notEmpty(c, "until"); err != nil {
		return err
	}
	return b.amend(func(sure bool) intake.Input {
		return intake.Relabel{Subject: c.Args().First(), Was: c.String("was"), Until: c.String("until"), Sure: sure}
	})
}

func (b *book) amendExchange(c *cli.Context) error {
	if c.NArg() != 2 {
		return usageError("amend exchange wants two codes, got %s", wording.Plural(c.NArg(), "word"))
	}
	if c.String("from") == "" {
		return usageError("amend exchange wants the moment at which the labels were exchanged: add --from TIME")
	}
	if err := notEmpty(c, "until"); err != nil {
		return err
	}
	return b.amend(func(sure bool) intake.Input {
		return intake.Exchange{A: c.Args().Get(0), B: c.Args().Get(1), From: c.String("from"), Until: c.String("until"), Sure: sure}
	})
}

func (b *book) amendMove(c *cli.Context) error {
	if c.NArg() == 0 || c.String("bath") == "" {
		return usageError("amend move wants a code and the bath it went into: soaktag amend move CODE --bath B2 --reason \"why\"")
	}
	return b.take(intake.Move{Subjects: c.Args().Slice(), Bath: c.String("bath")})
}

// notEmpty refuses a time that was given as nothing.
func notEmpty(c *cli.Context, flag string) error {
	if !c.IsSet(flag) {
		return nil
	}
	_, err := timeGiven(c, flag)
	return err
}
