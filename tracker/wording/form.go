package wording

import (
	"fmt"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/intake"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
)

// formed words what a desk says of a form that was filled in; nothing for a
// note about anything else.
func formed(n intake.Note, study *tracker.Study) []Sentence {
	switch n := n.(type) {
	case intake.Foreseen:
		return []Sentence{warn("%s, and asks", breakForeseen(n))}
	case intake.UnknownRig:
		return []Sentence{warn("the plan has no rig %q: no force can be computed from its gauge pressure", n.Name)}
	case intake.ForeignReading:
		return []Sentence{warn("%s is of another kind than the gauge of %s, which is marked in %s; it is taken as it stands: soaktag amend correct last reading=\"...\" --reason \"why\" puts a slip right", n.Reading, n.Rig, n.Dial)}
	case intake.Weighed:
		return []Sentence{tell("%s", weighed(n, study.Units))}
	case intake.NoForce:
		return []Sentence{warn("no force can be computed from %s: %v", n.Reading, n.Err)}
	case intake.DummyShowed:
		return dummyShowed(n, study)
	case intake.NothingAsksThere:
		return []Sentence{tell("nothing asks there; nothing recorded")}
	case intake.AcceptedAlone:
		return acceptedAlone(n.Marks)
	case intake.Stand:
		return stand(n.Marks)
	case intake.StillAtStake:
		return stillAtStake(n.Stakes)
	case intake.NoRows:
		return []Sentence{warn("%s holds no events; nothing recorded", n.Name)}
	case intake.Imported:
		return imported(n)
	case intake.Merged:
		return merged(n)
	case intake.SaidOtherwise:
		return []Sentence{saidOtherwise(n)}
	case intake.UnsentTaken:
		return unsentTaken(n)
	case intake.AsksSince:
		if n.Dry {
			return []Sentence{tell("%s in the study then, %d now", Counted(n.Now, "mark would ask", "marks would ask"), n.Before)}
		}
		return []Sentence{tell("%s in the study, %d before: soaktag status lists them", Counted(n.Now, "mark asks", "marks ask"), n.Before)}
	}
	return nil
}

func stand(marks []tracker.Mark) (out []Sentence) {
	for _, m := range marks {
		out = append(out, answer("accepted  %s", markOn(m)))
	}
	return out
}

func imported(n intake.Imported) (out []Sentence) {
	did := "imported "
	if n.Dry {
		did = "would import "
	}
	out = append(out, answer("%s %s from %s", did, Counted(n.Added+len(n.Fuller), "event", "events"), n.Name))
	if len(n.Fuller) > 0 {
		out = append(out, tell("of these %s", fuller(n.Fuller)))
	}
	if n.Known > 0 {
		out = append(out, tell("%s known already and not added again", Counted(n.Known, "event was", "events were")))
	}
	if len(n.Aside) > 0 {
		out = append(out, warn("%s set aside since, and the table does not change that", Counted(len(n.Aside), "of these was", "of these were")),
			advise(fmt.Sprintf("to let what was set aside together count again: soaktag amend void --command %d --reason \"why\"", n.Aside[0].Seq)))
	}
	if n.Dry {
		out = append(out, advise("nothing recorded; the same without --dry-run records it"))
	}
	return out
}

// unsentTaken tells what came of the entries that a phone could not send.
func unsentTaken(n intake.UnsentTaken) (out []Sentence) {
	did := map[bool]string{false: "took in ", true: "would take in "}[n.Dry]
	out = append(out, answer("%s %s of %s from %s", did, Counted(n.Taken, "entry", "entries"), n.Phone, n.Name))
	if n.Known > 0 {
		out = append(out, tell("%s here already and not recorded again", Counted(n.Known, "entry was", "entries were")))
	}
	if n.Refused > 0 {
		out = append(out, warn("%s not taken, see above; the others are recorded", Counted(n.Refused, "entry was", "entries were")))
	}
	if n.Dry {
		out = append(out, advise("nothing recorded; the same without --dry-run records it"))
	}
	return out
}

// fuller names what stands in place of an earlier entry that said less.
func fuller(events []tracker.Event) string {
	var names []string
	for _, e := range events[:min(len(events), fewCodes)] {
		names = append(names, Whom(e))
	}
	if more := len(events) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	return Counted(len(events), "says more of what was recorded before and replaces it", "say more of what was recorded before and replace it") +
		" (that stays on record beside it): " + strings.Join(names, ", ")
}

// Namesake says that the labels of a study to be begun will read as those of another.
func Namesake(n intake.Namesake, planFile string) string {
	return fmt.Sprintf("labels of this study will read as those of %s (%s), which has the prefix %s too: before any is printed, take another prefix under [study] in %s and begin again",
		n.File, n.Title, n.Prefix, planFile)
}

// breakForeseen says what the record will ask of a break.
func breakForeseen(n intake.Foreseen) string {
	switch {
	case !n.Dealt:
		return fmt.Sprintf("%s was never dealt in this study: a break of it is kept", n.Subject)
	case n.End != "":
		return fmt.Sprintf("%s is %s: a break of it is kept", n.Subject, n.End)
	case n.Next == "":
		return fmt.Sprintf("%s is broken already, and that counts: another try is kept", n.Subject)
	}
	return fmt.Sprintf("%s still has its %s to come: a break now is kept", n.Subject, n.Next)
}

// weighed says what a reading comes to: force, and stress over the bond.
func boundOf(n intake.Weighed) string {
	if n.Load.Bound == stat.AtLeast {
		return "at least "
	}
	return ""
}

func weighed(n intake.Weighed, in quantity.System) string {
	text := fmt.Sprintf("%s at the gauge is %s", n.Reading, in.Force(n.Load.Force))
	if n.Load.Area == 0 {
		return text
	}
	bound, area := boundOf(n), "measured"
	if n.Load.Nominal {
		area = "nominal"
	}
	return fmt.Sprintf("%s, %s%s over the %s area", text, bound, in.BreakStress(n.Load.Stress), area)
}

// dummyShowed says that a dummy which did not separate showed no rig that
// holds; nothing of one that did.
func dummyShowed(n intake.DummyShowed, study *tracker.Study) []Sentence {
	again := "break another before lift-out: " + DummyCommand(study, n.Rig)
	switch n.How {
	case tracker.Separated:
		return nil
	case tracker.FixtureGave, tracker.PressLimit:
		at := ""
		if n.Force > 0 {
			at = " at " + study.Units.AboutForce(n.Force)
		}
		return []Sentence{warn("%s%s%s; mend the rig, then %s", n.How, at, tooLittle(n, study.Units), again)}
	}
	return []Sentence{tell("%s: that shows no rig that holds; %s", n.How, again)}
}

// tooLittle compares what a dummy came to with what the breaks are expected to
// take on its rig.
func tooLittle(n intake.DummyShowed, in quantity.System) string {
	var takes []string
	for _, l := range n.Expected {
		takes = append(takes, l.Treatment+" "+in.AboutForce(l.Expected))
	}
	short := n.Short()
	switch {
	case len(takes) == 0 && n.Unknown != nil:
		return ", and what the breaks will take is not known (" + strings.ReplaceAll(n.Unknown.Error(), "\n", "; ") + ")"
	case len(takes) == 0:
		return ""
	case len(short) == 0:
		return ", which is no less than breaks are expected to take (" + strings.Join(takes, ", ") + ")"
	}
	return ", too little for " + treatmentsOf(short) + " (expected: " + strings.Join(takes, ", ") + ")"
}

func treatmentsOf(loads []design.Load) string {
	var names []string
	for _, l := range loads {
		names = append(names, l.Treatment)
	}
	return strings.Join(names, ", ")
}

// formCause words why a form was refused.
func formCause(c intake.Cause) string {
	switch c := c.(type) {
	case intake.WhichDevice:
		return "--device-time wants --device NAME, the device that showed --at"
	case intake.NothingSaid:
		return "log wants --stage STAGE, or --note TEXT for a remark"
	case intake.NoSuchEvent:
		return fmt.Sprintf("no event %q in the log; soaktag history CODE lists those of a specimen", c.Word)
	case intake.NothingToRead:
		return nothingToRead(c.How)
	case intake.Missing:
		return fmt.Sprintf("%s wants --%[2]s; add --%[2]s %q; nothing recorded", c.Form, c.Field, c.Example)
	case intake.OfSpecimens:
		return fmt.Sprintf("a dummy tries the rig: --%s is kept of specimens only; nothing recorded", c.Field)
	case intake.WhichHalf:
		return fmt.Sprintf("which half of %[1]s? soaktag faces %[1]s/1 or %[1]s/2; nothing recorded", c.Code)
	}
	return ""
}

// nothingToRead says what to do with a reading of a try that ended without one.
func nothingToRead(how tracker.How) string {
	if how == tracker.BottomedOut {
		return "bottomed out, the ram out of stroke, gives no reading: leave --reading out; " +
			"if the gauge or the press was at its end and the bond held: --ended \"press limit\", at least that reading; nothing recorded"
	}
	return fmt.Sprintf("%s gives no reading: leave --reading out, or say how the try ended otherwise; nothing recorded", how)
}

// LostWhat asks what lost is said of.
const LostWhat = "lost: the SPECIMEN, which is then out of the count, or only its LABEL? [s/l]"

// newLabel says how a label that was lost is printed again.
func newLabel(h intake.NewLabel) string {
	label := ShellWord(h.Code)
	switch {
	case h.Half > 0:
		label = ShellWord(fmt.Sprintf("%s/%d", h.Code, h.Half))
	case !strings.Contains(h.Code, "/"):
		label = ShellWord(h.Code+"/1") + " (or /2)"
	}
	again := fmt.Sprintf("soaktag amend relabel %s --reason \"lost\" says how to print it", label)
	switch {
	case h.Scanned:
		return "it is out of the count; if only its label is lost: UNDO, and " + again
	case h.Recorded:
		return "it is out of the count; if only its label is lost: soaktag log " + ShellWord(h.Code) + " --stage found, and " + again
	}
	return again
}

// formHelp words help with forms.
func formHelp(h intake.Help) string {
	switch h := h.(type) {
	case intake.NewLabel:
		return newLabel(h)
	case intake.CameApart:
		return "a bond that came apart without load: --ended \"fell apart\""
	case intake.NameARig:
		return "name one of these with --rig, or add --yes to record the other one all the same"
	case intake.SeeWhatAsks:
		return "soaktag status lists what asks"
	}
	return wayOut(h)
}
