package wording

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Mark is a mark for a person: whether it asks, where, what, and its rule.
func Mark(m tracker.Mark) string {
	return markLead(m) + ": " + markOn(m)
}

func markLead(m tracker.Mark) string {
	if m.Open() {
		return "asks"
	}
	return "note"
}

// markOn says where a mark is, what it is about, and its rule.
func markOn(m tracker.Mark) string {
	text := MarkText(m)
	if m.Code != "" && !strings.HasPrefix(text, m.Code) {
		text = m.Code + ": " + text
	}
	return fmt.Sprintf("%s (%s)", text, m.Rule)
}

// MarkText says what a mark is about, and what would put it right.
func MarkText(m tracker.Mark) string {
	for _, say := range []func(tracker.Mark) string{ofStage, ofBath, ofBreak, ofLife, ofEntry, ofLabel, ofClock, ofNotebooks} {
		if text := say(m); text != "" {
			return text
		}
	}
	return string(m.Rule)
}

// remedied is the command that puts a mark right, behind its lead; empty where there is
// none, or where nobody can type one.
func remedied(lead string, m tracker.Mark) string {
	command := Remedy(m.Remedy)
	if command == "" {
		return ""
	}
	return lead + command
}

// putsRight is what puts a slip right; empty where nobody can type it.
func putsRight(m tracker.Mark) string {
	if command := remedied(" ", m); command != "" {
		return command + " puts it right"
	}
	return ""
}

// ofStage words marks on stages and their order.
func ofStage(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.Unstaged:
		return "read without a stage card in force" + remedied("; say which stage: ", m)
	case tracker.ReadTwice:
		return "read twice within a minute; the second is set aside"
	case tracker.NotPlanned:
		return fmt.Sprintf("the plan has no %s for this specimen (%s)", a.Stage, a.Treatment)
	case tracker.Again:
		if a.Stage.Renews() {
			return fmt.Sprintf("%s was recorded before; this one comes after a later stage and does not count", a.Stage)
		}
		return fmt.Sprintf("%s was recorded before; the first one counts", a.Stage)
	case tracker.Skipped:
		return fmt.Sprintf("%s before %s%s", a.Stage, a.Missing, remedied(": write it up with ", m))
	case tracker.Behind:
		return fmt.Sprintf("%s after a later stage", a.Stage)
	case tracker.OffPlan:
		return offPlan(a)
	}
	return ""
}

// ofBath words marks on the way through the bath.
func ofBath(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.AgainInBath:
		text := fmt.Sprintf("%s was recorded before and no %s since; the first one counts", a.Stage, a.Missing)
		if m.Remedy.Do == tracker.WriteUp {
			text += "; if it was forgotten: " + bareRemedy(m.Remedy)
		}
		return text
	case tracker.BackInBath:
		return fmt.Sprintf("put back into the bath: spell %d under water", a.Spell)
	case tracker.BrokenInBath:
		text := "break while it still lies in the bath"
		if m.Remedy.Do == tracker.WriteUp {
			text += ": write up the lift-out with " + bareRemedy(m.Remedy)
		}
		return text
	case tracker.PartnerInBath:
		if !m.Asks {
			return fmt.Sprintf("broken when due; its age is compared once its soaked partner %s, still in the bath, is broken", a.Partner)
		}
		return fmt.Sprintf("broken outside its time, while its soaked partner %s still lies in the bath", a.Partner)
	case tracker.OtherPass:
		return fmt.Sprintf("written down as %s, but the record has it as %s%s", a.Named, a.Is, remedied(": write up what is missing with ", m))
	}
	return ""
}

// ofBreak words marks on tries at breaking and what is read after them.
func ofBreak(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.TriedTwice:
		return "the same try recorded twice within a minute; the second is set aside"
	case tracker.Unread:
		return "break without a reading" + remedied("; add it: ", m)
	case tracker.Broken:
		return fmt.Sprintf("%s after the specimen was broken", a.Stage)
	case tracker.TriedAgain:
		return triedAgain(a, m)
	case tracker.OverGauge:
		return fmt.Sprintf("%s is more than the gauge of %s can show; a slip of the pen?%s", a.Reading, a.Rig, putsRight(m))
	case tracker.Loaded:
		return fmt.Sprintf("loaded before, to %s on %s (%s)", cmp.Or(a.Reading, "no reading"), cmp.Or(a.Rig, "a rig not named"), a.How)
	case tracker.FacesFirst:
		return "fracture faces of a specimen whose break was never recorded" + remedied(": ", m)
	}
	return ""
}

// triedAgain says which of two tries is the break, and how the other could be.
func triedAgain(a tracker.TriedAgain, m tracker.Mark) string {
	before := string(a.Before.How)
	if a.Before.Reading != "" {
		before += " at " + a.Before.Reading
	}
	if a.Rough {
		return fmt.Sprintf("counts, since it is known when it was, in place of a try that was some time around then: %s%s",
			before, remedied("; if another specimen was meant: ", m))
	}
	before += " on " + clockTime(a.At)
	switch {
	case a.Third:
		return "not counted: another try counts in its place"
	case a.Counts:
		return "counts in place of an earlier try: " + before
	case !a.Parts:
		return "another try after it was broken, which decides nothing: " + before
	}
	return fmt.Sprintf("not counted: it was broken before (%s), and that counts; accepting this lets this one count instead%s",
		before, remedied("; if another specimen was meant: ", m))
}

// ofLife words marks on what became of a specimen.
func ofLife(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.Gone:
		return fmt.Sprintf("%s of a specimen recorded as %s%s", a.Stage, a.End, remedied("; if it counts again: ", m))
	case tracker.GoneTried:
		return fmt.Sprintf("a try at a specimen recorded as %s, which leaves it out%s", a.End, remedied("; if it counts: ", m))
	case tracker.EndedBroken:
		return fmt.Sprintf("%s after it was broken: its strength is known and still counts%s", a.End, remedied("; to leave it out: ", m))
	case tracker.NeverLost:
		return "found, and never recorded as lost, damaged or withdrawn"
	case tracker.Dealt:
		text := "added after the study began"
		if a.Parent != "" {
			text = "re-glued from the halves of " + a.Parent
		}
		return text + ": " + given(a.Reason)
	}
	return ""
}

// given is a reason in the words of whoever gave it.
func given(reason string) string { return cmp.Or(reason, "no reason given") }

// ofEntry words marks on how something was written down.
func ofEntry(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.OddSize:
		return fmt.Sprintf("%s %s is far from the plan (%s); a slip of the pen?%s",
			strings.ReplaceAll(a.Value.Name, "_", " "), a.Value.Text, a.Units.Measure(a.Planned), putsRight(m))
	case tracker.InFuture:
		return clockTime(a.At) + " lies after the moment it was written down"
	case tracker.WrittenLate:
		return fmt.Sprintf("written up %s after it happened", schedule.Short(a.By))
	case tracker.InDoubt:
		return a.Text
	}
	return ""
}

// ofLabel words marks on codes and the labels that carry them.
func ofLabel(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.NeverDealt:
		return a.Code + " was never dealt in this study; it is kept" + remedied(". If it meant another: ", m)
	case tracker.NeverPrinted:
		return a.Trial.String() + " is a trial label that was never printed in this study; it is kept and counts in no trial"
	case tracker.Explained:
		return fmt.Sprintf("read as %s, which was later found to mean this specimen", a.Code)
	case tracker.Swapped:
		return fmt.Sprintf("read from the label of %s: the two labels were exchanged then", a.Code)
	case tracker.NewLabel:
		return fmt.Sprintf("label issue %d: %s", a.Issue, given(a.Reason))
	}
	return ""
}

// ofClock words marks on the clocks of devices.
func ofClock(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.Unclocked:
		return fmt.Sprintf("the clock of %s was never compared%s", a.Device, remedied(": ", m))
	case tracker.Clocked:
		word := "fast"
		if a.Ahead < 0 {
			word = "slow"
		}
		return fmt.Sprintf("the clock of %s was %s %s: it showed %s, the time was %s", a.Device,
			schedule.Short(a.Ahead.Abs()), word, clockTime(a.Showed), clockTime(a.Was))
	}
	return ""
}

// clockTime writes an instant in the zone that it comes with.
func clockTime(t time.Time) string { return t.Format("Mon 2 Jan 2006 15:04") }

// offPlan says how an interval left the length planned for it.
func offPlan(a tracker.OffPlan) string {
	said := "cannot tell"
	switch a.Verdict {
	case schedule.Early:
		said = schedule.Short(a.Planned.Length-a.Planned.Early-a.Hi) + " short of the limit"
	case schedule.Late:
		said = "over the limit by " + schedule.Short(a.Lo-a.Planned.Length-a.Planned.Late)
	}
	return fmt.Sprintf("%s %s, plan %s: %s", a.Interval, length(a.Lo, a.Hi), a.Planned, said)
}

// length writes how long an interval lasted, as far as that is known.
func length(lo, hi time.Duration) string {
	switch {
	case hi == schedule.Unbounded:
		return "at least " + schedule.Short(max(0, lo))
	case lo != hi:
		return "between " + schedule.Short(lo) + " and " + schedule.Short(hi)
	}
	return schedule.Short(lo)
}
