package intake

import (
	"slices"
	"strconv"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Correct is a form: what events say is replaced, the same in each. Where
// somebody gave the entry a time, that is corrected as well.
type Correct struct {
	Meant
	Changes []string // FIELD=VALUE; see Correctable
	Sure    bool     // doubtful times stand
}

// Correctable lists the fields that can be corrected beside measured values,
// which have names of their own.
func Correctable() []string {
	return []string{"at", "code", "half", "stage", "ended", "reading", "rig", "wood_failure", "mode", "shallow", "state", "note", "by", "shown", "until"}
}

func (f Correct) take(d *Desk, out *Outcome) (err error) {
	if err := d.reasoned(); err != nil {
		return err
	}
	entries, err := d.meant(f.Meant)
	if err != nil {
		return err
	}
	fresh, err := d.corrections(out, f, entries)
	if err == nil {
		err = d.undoubted(out, f.Sure)
	}
	if err != nil {
		return err
	}
	out.add(Replaces{nowOf(entries)})
	before, stood := d.asking(), footingOf(d.rec, fresh)
	if err := d.commit(out, fresh); err != nil {
		return err
	}
	for _, e := range fresh {
		if e.Try == nil {
			continue
		}
		if err := d.weigh(out, e); err != nil {
			return err
		}
	}
	if err := d.asksNow(out, before, fresh...); err != nil {
		return err
	}
	stood.brokenSince(out, d.rec)
	return nil
}

// corrections are the events that stand from now on in place of those meant. What
// is understood of a change is said once.
func (d *Desk) corrections(out *Outcome, f Correct, entries []entry) (fresh []tracker.Event, err error) {
	if len(f.Changes) == 0 && !d.Timed {
		return nil, refuse("a correction wants what is to be corrected; nothing recorded").because(NothingCorrected{})
	}
	said := out
	for _, e := range entries {
		one, err := d.correction(said, f, e.now)
		if err != nil {
			return nil, ofEvent(err, e.now, len(entries))
		}
		fresh, said = append(fresh, one), &Outcome{}
	}
	return fresh, nil
}

// ofEvent says of a refusal which of several events it is about.
func ofEvent(err error, e tracker.Event, of int) error {
	if r, ok := err.(*Refusal); ok && of > 1 && r.Cause == nil {
		return refuse("event %d: %s", e.Seq, r.Why).with(r.Help)
	}
	return err
}

// correction is an event with its changes made.
func (d *Desk) correction(out *Outcome, f Correct, old tracker.Event) (tracker.Event, error) {
	fresh := d.anew(old)
	for _, word := range f.Changes {
		field, text, ok := strings.Cut(word, "=")
		if !ok {
			return fresh, refuse("%q is not FIELD=VALUE; for example stage=lift-out", word)
		}
		if err := d.correct(out, &fresh, plainField(field), strings.TrimSpace(text)); err != nil {
			return fresh, err
		}
	}
	if d.Timed {
		fresh.At, fresh.Doubt, fresh.DeviceTime = d.At, d.Doubt, false
	}
	return fresh, nil
}

// anew is an event that says what old says, and points at it.
func (d *Desk) anew(old tracker.Event) tracker.Event {
	now, fresh := d.event(old.Kind), old
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
	return fresh
}

func plainField(field string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(field)), "-", "_")
}

// correct changes one field of an event.
func (d *Desk) correct(out *Outcome, e *tracker.Event, field, text string) error {
	switch field {
	case "at", "shown", "until":
		return d.correctTime(out, e, field, text)
	case "note":
		e.Note = text
		return nil
	case "by":
		e.By = text
		return nil
	case "code", "half":
		return d.correctSubject(out, e, field, text)
	case "stage":
		return correctStage(d.rec, e, text)
	case "ended", "reading", "rig", "state", "wood_failure", "mode", "shallow":
		if e.Kind != tracker.Measured {
			return d.correctBreak(out, e, field, text)
		}
	}
	return correctValue(d.rec.Study().Units, e, field, text)
}

func (d *Desk) correctTime(out *Outcome, e *tracker.Event, field, text string) error {
	span, doubt, err := d.moment(out, field, text)
	switch {
	case err != nil:
		return err
	case field == "at":
		e.At, e.Doubt, e.DeviceTime = span, doubt, false
	case field == "until":
		e.Until = span
	case !span.Exact():
		return refuse("shown wants an instant, not a range")
	default:
		e.Shown = span.From
	}
	return nil
}

func (d *Desk) correctSubject(out *Outcome, e *tracker.Event, field, text string) error {
	if e.Kind == tracker.PlanAmended {
		return refuse("an amendment is about no one code; void it and amend again; nothing recorded")
	}
	if field == "half" {
		half, err := strconv.Atoi(text)
		if err != nil || half < 0 || half > 2 {
			return refuse("half is 1, 2, or 0 for none; got %q", text)
		}
		e.Half = half
		return nil
	}
	sub, err := d.Specimen(out, text)
	if err != nil {
		return err
	}
	e.Code = sub.Code
	if sub.Half != 0 {
		e.Half = sub.Half
	}
	return nil
}

func correctStage(rec *tracker.Record, e *tracker.Event, text string) error {
	if e.Kind != tracker.Staged && e.Kind != tracker.Ended {
		return refuse("it has no stage").because(NotIn{Event: *e, Field: "stage"})
	}
	if end, ok := parseEnd(text); ok {
		e.Kind, e.End, e.Stage = tracker.Ended, end, ""
		return nil
	}
	stage, err := ParseStage(rec, text)
	if err != nil {
		return err
	}
	e.Kind, e.Stage, e.End = tracker.Staged, stage, ""
	return nil
}

// correctBreak changes a field of a try or of the fracture faces.
func (d *Desk) correctBreak(out *Outcome, e *tracker.Event, field, text string) error {
	switch {
	case e.Faces != nil:
		return correctFaces(e.Faces, field, text)
	case e.Try == nil:
		return refuse("it has no %s", field).because(NotIn{Event: *e, Field: field})
	}
	return d.correctTry(out, e.Try, field, text)
}

func (d *Desk) correctTry(out *Outcome, try *tracker.Try, field, text string) (err error) {
	switch field {
	case "ended":
		try.How, err = ParseEnded(text)
	case "reading":
		text = inUnit(text, "")
		if _, err = quantity.ParseReading(text); err != nil && text != "" {
			return refuse("reading: %v; nothing recorded", d.rec.Study().Units.Explain(err))
		}
		try.Reading, err = text, nil
	case "rig":
		if try.Rig, err = d.ParseRig(text); err == nil && d.rec.Study().Rig(try.Rig) == nil {
			out.add(UnknownRig{try.Rig})
		}
	case "state":
		try.State, err = ParseState(text)
	case "mode":
		try.Mode = text
	case "wood_failure":
		try.WoodFailure, err = percentOrNone(text)
	default:
		return refuse("a break has no %s", field)
	}
	return err
}

func percentOrNone(text string) (*float64, error) {
	if text == "" || text == "none" {
		return nil, nil
	}
	percent, err := ParsePercent(text)
	return &percent, err
}

func correctFaces(f *tracker.Faces, field, text string) (err error) {
	switch field {
	case "wood_failure":
		f.WoodFailure, err = ParsePercent(text)
	case "mode":
		f.Mode = text
	case "shallow":
		if f.Shallow, err = strconv.ParseBool(text); err != nil {
			err = refuse("shallow is true or false, got %q", text)
		}
	default:
		err = refuse("faces have no %s", field)
	}
	return err
}

// correctValue changes a measured value, or adds it.
func correctValue(u quantity.System, e *tracker.Event, field, text string) error {
	if e.Kind != tracker.Measured {
		return refuse("%q is nothing that can be corrected in it", field).because(NotIn{Event: *e, Field: field, Other: true})
	}
	v, err := parseValue(u, field, text)
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
