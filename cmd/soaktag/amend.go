package main

import (
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
		return e, setAside(e)
	}
	return e, nil
}

func (b *book) amendVoid(c *cli.Context) error {
	old, err := b.standing(c)
	if err != nil {
		return err
	}
	if c.NArg() > 1 {
		return usageError("amend void takes one event, got %s", wording.Plural(c.NArg(), "word"))
	}
	void := b.entry.event(tracker.Voided)
	void.Target, void.Code, void.Half = old.ID, old.Code, old.Half
	before := b.askingNow()
	if _, err := b.db.Record(void); err != nil {
		return meanwhile(err)
	}
	if old.Kind == tracker.PlanAmended {
		b.print("voided  %s  %s: %s\n", wording.Says(old), wording.Span(old.At, b.zone()), void.Reason)
		return b.sayNewMarks(before, "")
	}
	b.print("voided  %s  %s  %s: %s\n", wording.Whom(old), wording.What(old), wording.Span(old.At, b.zone()), void.Reason)
	return b.sayRevived(old)
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
		if err := b.sayStress(subject{code: fresh.Code, half: fresh.Half}, *fresh.Try); err != nil {
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
		e.Try.How, err = parseHow(text)
	case "reading":
		if _, err = quantity.ParseReading(text); err != nil && text != "" {
			return refused(fmt.Errorf("reading: %w; nothing recorded", err))
		}
		e.Try.Reading, err = text, nil
	case "rig":
		e.Try.Rig, err = b.rigNamed(text)
	case "state":
		e.Try.State, err = parseState(text)
	case "mode":
		e.Try.Mode = text
	case "wood_failure":
		e.Try.WoodFailure, err = percentOrNone(text)
	default:
		return usageError("a break has no %s", field)
	}
	return err
}

func percentOrNone(text string) (*float64, error) {
	if text == "" || text == "none" {
		return nil, nil
	}
	percent, err := parsePercent(text)
	return &percent, err
}

func correctFaces(f *tracker.Faces, field, text string) (err error) {
	switch field {
	case "wood_failure":
		f.WoodFailure, err = parsePercent(text)
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
	return err
}

// correctValue changes a measured value, or adds it.
func correctValue(e *tracker.Event, field, text string) error {
	if e.Kind != tracker.Measured {
		return usageError("%q is nothing that can be corrected in a %s; fields are %s", field, wording.What(*e), strings.Join(correctable(), ", "))
	}
	v, err := parseValue(field, text)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(e.Values, func(old tracker.Value) bool { return old.Name == v.Name })
	if i < 0 {
		e.Values = append(e.Values, v)
	} else {
		e.Values[i] = v
	}
	return nil
}

// settled commits an amendment whose verdict is nobody's, and says what it means.
func (b *book) settled(fact tracker.Event, text string) error {
	before := b.askingNow()
	if _, err := b.db.Record(fact); err != nil {
		return meanwhile(err)
	}
	b.print("%s\n", text)
	return b.sayNewMarks(before, "")
}

func untilText(until schedule.Span, b *book) string {
	if until.IsZero() {
		return ""
	}
	return " until " + wording.Span(until, b.zone())
}

func (b *book) until(c *cli.Context, from schedule.Span) (schedule.Span, error) {
	if !c.IsSet("until") {
		return schedule.Span{}, nil
	}
	text, err := timeGiven(c, "until")
	if err != nil {
		return schedule.Span{}, err
	}
	until, _, err := b.when("until", text)
	if err == nil && !from.IsZero() && !until.Mid().After(from.Mid()) {
		err = usageError("--until is not after --from; nothing recorded")
	}
	return until, err
}

// dealt reads a word that must mean a specimen of the study.
func (b *book) dealt(word string) (subject, error) {
	sub, err := b.specimen(word)
	if err == nil && lifeOf(b.rec, sub) == nil {
		err = usageError("%s was never dealt in this study; nothing recorded", sub.code)
	}
	return sub, err
}

func (b *book) amendRelabel(c *cli.Context) error {
	if c.NArg() != 1 {
		return usageError("amend relabel wants one CODE/HALF, got %s", wording.Plural(c.NArg(), "word"))
	}
	sub, err := b.dealt(c.Args().First())
	if err != nil {
		return err
	}
	fact := b.about(b.entry.event(tracker.Relabelled), sub)
	if c.String("was") != "" {
		return b.explain(c, fact, sub)
	}
	if sub.half == 0 {
		return usageError("which label of %s is printed again? amend relabel %s/1 or %s/2; nothing recorded", sub.code, sub.code, sub.code)
	}
	fact.Issue = max(1, lifeOf(b.rec, sub).Issue[sub.half-1]) + 1
	b.hint("print it again: soaktag labels %s --stock \"a4 3x9 63.5x29.6\" --out %s.pdf", shellWord(sub.shown()), strings.ReplaceAll(sub.shown(), "/", "-"))
	return b.keep(fact)
}

// explain says which specimen a code meant that nobody knew.
func (b *book) explain(c *cli.Context, fact tracker.Event, sub subject) error {
	unknown, err := b.specimen(c.String("was"))
	if err != nil {
		return err
	}
	if lifeOf(b.rec, unknown) != nil {
		return withHint(usageError("%s is a specimen of this study, not an unknown code; nothing recorded", unknown.code),
			"two labels on each other's specimen: soaktag amend exchange %s %s --from TIME --reason \"why\"", shellWord(sub.code), shellWord(unknown.code))
	}
	fact.Other = unknown.code
	if !c.IsSet("at") {
		fact.At = schedule.Span{} // from the beginning: what was read before is explained too
	}
	if fact.Until, err = b.until(c, fact.At); err != nil {
		return err
	}
	return b.settled(fact, fmt.Sprintf("explained  %s meant %s%s: %s", fact.Other, sub.shown(), untilText(fact.Until, b), fact.Reason))
}
