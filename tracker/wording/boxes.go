package wording

import (
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// Boxes are the specimens that are alone in their group, by the box that each
// fell into.
type Boxes struct {
	Title, Note string
	Treatments  []TreatmentBoxes
}

// TreatmentBoxes are those of one treatment that hold anybody.
type TreatmentBoxes struct {
	Treatment string
	Boxes     []BoxLine
}

// A BoxLine names who fell into a box.
type BoxLine struct {
	Box strength.Box
	Who string
}

// BoxesOf puts groups of one specimen into the four boxes, in plan order.
func BoxesOf(study *tracker.Study, r strength.Report) Boxes {
	out := Boxes{Title: boxesTitle(r) + ": no interval, no ranking, only which box it fell into", Note: "In brackets " + study.Units.StressUnit() + "."}
	switch {
	case r.Split():
	case r.MoreToCome():
		out.Note += " Of one dry and one soaked specimen no retention follows yet."
	default:
		out.Note += " Of one dry and one soaked specimen no retention follows: fell apart is 0 %, 1 of 1."
	}
	for _, t := range study.Treatments {
		if of := inBoxes(study, r, t.Key); len(of.Boxes) > 0 {
			out.Treatments = append(out.Treatments, of)
		}
	}
	return out
}

func inBoxes(study *tracker.Study, r strength.Report, treatment string) TreatmentBoxes {
	of := TreatmentBoxes{Treatment: treatment}
	for _, box := range strength.Boxes {
		var names []string
		for _, sp := range r.Boxed(treatment, box) {
			names = append(names, Single(sp, study.Units))
		}
		if len(names) > 0 {
			of.Boxes = append(of.Boxes, BoxLine{box, strings.Join(names, ", ")})
		}
	}
	return of
}

// boxesTitle says why they are alone.
func boxesTitle(r strength.Report) string {
	switch {
	case r.Split():
		return "Alone on their rig or in their state"
	case r.MoreToCome():
		return "One specimen each so far"
	}
	return "One specimen each"
}
