package wording

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Recorded says what was committed, and what comes next.
func Recorded(v tracker.Verdict, zone *time.Location) string {
	return "recorded  " + Whom(v.Event) + thatIs(v) + recordedWhat(v, zone)
}

// thatIs names the specimen that a code stood for, where it was the label of
// another.
func thatIs(v tracker.Verdict) string {
	if !otherLabel(v) {
		return ""
	}
	return " (that is " + Code(v.Specimen.Code.Whole().String(), v.Event.Half) + ")"
}

// otherLabel reports whether a code stood for a specimen that has another.
func otherLabel(v tracker.Verdict) bool {
	return v.Specimen != nil && slices.ContainsFunc(v.Marks, func(m tracker.Mark) bool {
		switch m.About.(type) {
		case tracker.Swapped, tracker.Explained:
			return true
		}
		return false
	})
}

// recordedWhat is what happened to whom, when, and what comes next.
func recordedWhat(v tracker.Verdict, zone *time.Location) string {
	text := fmt.Sprintf("  %s  %s", What(v.Event, zone), Span(v.Event.At, zone))
	if v.Event.DeviceTime {
		text += " by the clock of " + v.Event.Device
	}
	if v.Next != nil {
		next := *v.Next
		if _, late := v.Event.WrittenUp(); late { // nobody is late with what a notebook says of then
			next.State = schedule.Ongoing
		}
		text += "  next: " + Next(next, zone)
	}
	return text
}

// Whom is the specimen, the bath or the device that an event is about.
func Whom(e tracker.Event) string {
	switch {
	case e.Code != "":
		return Code(e.Code, e.Half)
	case e.Kind == tracker.PlanAmended:
		return "the plan"
	case e.Bath != "":
		return "bath " + e.Bath
	case e.Device != "":
		return e.Device
	}
	return "the room"
}

// Code writes a code as an event keeps it, and which half, 1 or 2, where one
// is meant: trial labels and the dummy by their words.
func Code(code string, half int) string {
	if t, ok := tracker.TrialOf(code); ok {
		return t.String()
	}
	if code == tracker.DummyCode {
		return "dummy"
	}
	if half != 0 {
		return fmt.Sprintf("%s/%d", code, half)
	}
	return code
}

// What is the fact itself, in a few words. What a clock showed is told in the
// zone of the study; where that is not known, nil, not at all.
func What(e tracker.Event, zone *time.Location) string {
	switch e.Kind {
	case tracker.Staged:
		if _, trial := tracker.TrialOf(e.Code); trial {
			return trialRead(e)
		}
		return cmp.Or(string(e.Stage), "no stage")
	case tracker.Ended:
		return string(e.End)
	case tracker.Measured:
		return Values(e.Values)
	case tracker.Tried:
		return "break: " + Try(e.Try)
	case tracker.FacesRead:
		return "faces: " + Faces(e.Faces)
	case tracker.Noted:
		return fmt.Sprintf("note %q", e.Note)
	case tracker.ClockSeen:
		return shown(e, zone)
	case tracker.Moved:
		return "moved to bath " + e.Bath
	case tracker.PlanAmended:
		return amended(e)
	case tracker.Relabelled, tracker.Issued:
		return fmt.Sprintf("label issue %d", max(1, e.Issue))
	}
	return e.Kind.String()
}

// shown says what a device's clock showed, with the date where that was another
// day's, and to the second: a clock is compared to be right.
func shown(e tracker.Event, zone *time.Location) string {
	if zone == nil {
		return e.Kind.String()
	}
	clock, really := e.Shown.In(zone), e.At.Mid().In(zone)
	if clock.Format(time.DateOnly) == really.Format(time.DateOnly) {
		return "showed " + clock.Format(time.TimeOnly)
	}
	return "showed " + clock.Format(time.DateTime)
}

// trialRead says what a stage fact means of a trial label.
func trialRead(e tracker.Event) string {
	switch {
	case e.Stage != "":
		return string(e.Stage)
	case e.Via == "scan":
		return "read"
	}
	return "read by eye"
}

// Says is what an event tells beyond its kind; empty where that is nothing.
func Says(e tracker.Event) string {
	switch e.Kind {
	case tracker.Tried:
		return Try(e.Try)
	case tracker.FacesRead:
		return Faces(e.Faces)
	case tracker.Measured:
		return Values(e.Values)
	case tracker.Ended:
		return string(e.End)
	case tracker.Moved:
		return "to bath " + e.Bath
	case tracker.Exchanged:
		return "labels exchanged: " + e.Code + " and " + e.Other
	case tracker.Relabelled, tracker.Issued:
		return issue(e)
	case tracker.Staged:
		return string(e.Stage)
	case tracker.PlanAmended:
		return amended(e)
	}
	return ""
}

// amended names the specimens that an amendment added, and their parent.
func amended(e tracker.Event) string {
	if len(e.Dealt) == 0 {
		return "plan amended"
	}
	var codes []string
	for _, sp := range e.Dealt {
		codes = append(codes, sp.Code.String())
	}
	text := "added " + strings.Join(codes, ", ")
	if len(codes) > fewCodes {
		text = fmt.Sprintf("added %s, %s to %s", Plural(len(codes), "specimen"), codes[0], codes[len(codes)-1])
	}
	if p := e.Dealt[0].Parent; p != "" {
		text += ", re-glued from " + p
	}
	return text
}

// Try says how a try at breaking went; empty for none.
func Try(t *tracker.Try) string {
	if t == nil {
		return ""
	}
	parts := []string{string(t.How)}
	for _, part := range []string{t.Reading, t.Rig, t.State, t.Mode} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	if t.WoodFailure != nil {
		parts = append(parts, fmt.Sprintf("wood failure %g %%", *t.WoodFailure))
	}
	return strings.Join(parts, ", ")
}

// Faces says what was read on fracture faces; empty for none.
func Faces(f *tracker.Faces) string {
	if f == nil {
		return ""
	}
	text := fmt.Sprintf("wood failure %g %%", f.WoodFailure)
	if f.Shallow {
		text += " shallow"
	}
	if f.Mode != "" {
		text += ", " + f.Mode
	}
	return text
}

// Values writes measured values as they were typed.
func Values(values []tracker.Value) string {
	var parts []string
	for _, v := range values {
		if v.Name == tracker.WaterChanged {
			parts = append(parts, "water changed")
			continue
		}
		parts = append(parts, v.Name+" "+v.Text)
	}
	return strings.Join(parts, ", ")
}

// ValueName is a measured value's name in words: "mass before".
func ValueName(name string) string { return strings.ReplaceAll(name, "_", " ") }

// issue says which label was printed, or which code another one was.
func issue(e tracker.Event) string {
	if e.Other != "" {
		return e.Other + " was " + e.Code
	}
	text := "label printed"
	if e.Kind == tracker.Relabelled {
		text = "label printed again"
	}
	if e.Half != 0 {
		text += fmt.Sprintf(", half %d", e.Half)
	}
	if e.Issue > 0 {
		text += fmt.Sprintf(", issue %d", e.Issue)
	}
	return text
}

// Happened says what an entry of a history was, with what was noted beside it;
// passes names those that were a pass through the bath.
func Happened(entry tracker.Entry, passes map[string]schedule.Stage) string {
	e := entry.Event
	text := cmp.Or(string(passes[e.ID]), Says(e))
	switch {
	case text == "" && e.Kind == tracker.Staged:
		text = "no stage"
	case text == "":
		text = e.Kind.String()
	case e.Kind == tracker.Tried:
		text = "break: " + text
	}
	if e.Half != 0 && e.Kind != tracker.Issued && e.Kind != tracker.Relabelled { // these say it
		text += fmt.Sprintf(", half %d", e.Half)
	}
	for _, more := range []string{e.Note, e.Reason} {
		if more != "" {
			text += " (" + more + ")"
		}
	}
	if entry.Voided {
		text += " [set aside]"
	}
	if entry.Aside {
		text += " [not counted]"
	}
	return text
}
