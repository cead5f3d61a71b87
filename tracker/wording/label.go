package wording

import (
	"fmt"
	"strings"

	"soaktag/tracker/intake"
)

// Fault says why a label should be printed again; empty where it is good.
func Fault(f intake.Fault) string {
	switch f {
	case intake.OtherCode:
		return "another code was read in the same place"
	case intake.OnlyMatched:
		return "does not read by itself, only by what it looks like"
	case intake.LittleToSpare:
		return "reads, with too little to spare for a fresh label"
	case intake.Pale:
		return "pale"
	case intake.CornerDamaged:
		return "a corner is damaged or pale"
	}
	return ""
}

// Proofed says in the columns of a proof how well a label reads: the label,
// whether it reads, check words left, wrong and left out, contrast, the fault.
func Proofed(p intake.Proofed) []string {
	row := []string{p.Label.String(), "yes", fmt.Sprint(p.Spare()), fmt.Sprint(p.Found.Errors), fmt.Sprint(p.Found.Erasures),
		fmt.Sprintf("%.0f %%", 100*p.Print.Contrast), Fault(p.Fault())}
	if !p.Reads() {
		copy(row[1:], []string{"no", "", "", ""})
	}
	return row
}

// Proven says how many labels of a proof are good.
func Proven(p intake.Proof) []Sentence {
	again, trials := p.PrintAgain()
	all := len(p.Labels) + len(p.Missed)
	out := []Sentence{answer("%d of %s good; spare: check words left, of %d; contrast: of paper and ink, in its photograph",
		all-len(again)-len(trials), Plural(all, "label"), intake.CheckWords)}
	if p.Outside > 0 {
		out = append(out, tell("%s printed together with these on no photograph: other sheets, or the first and last labels of one",
			Counted(p.Outside, "label", "labels")))
	}
	return out
}

// OtherLabels names a few labels of another study.
func OtherLabels(others []intake.Label) string {
	const few = 4
	text := Counted(len(others), "label", "labels") + " of another study: " + LabelNames(others[:min(few, len(others))], ", ")
	if n := len(others) - few; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}

// LabelNames lists labels with something between them.
func LabelNames(all []intake.Label, between string) string {
	var names []string
	for _, l := range all {
		names = append(names, l.String())
	}
	return strings.Join(names, between)
}

// Reprinted says that of so many labels some are printed already, and what that
// means; empty where none is.
func Reprinted(again, of int) string {
	const destroy = "printed before; printed again they carry a new issue number, and the old are to be destroyed"
	switch again {
	case 0:
		return ""
	case of:
		return Counted(of, "label was ", "labels were ") + destroy
	}
	return fmt.Sprintf("%d of %d labels were %s; soaktag labels --new prints the other %d alone", again, of, destroy, of-again)
}
