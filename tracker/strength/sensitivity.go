package strength

import (
	"soaktag/tracker/stat"
)

// A Sensitivity shows what the mean of one group hangs on.
type Sensitivity struct {
	Adhesive  string
	Treatment string
	Rig       Text
	State     Text
	Lines     []SensitivityLine // the first is the mean as it stands
}

// A Choice is one way to work out the mean of a group, or its fitted median.
type Choice int

// The choices.
const (
	AsItStands  Choice = iota + 1 // survivors, wood breaks counted as breaks
	WithoutOne                    // without Who, who drifted
	WithoutAll                    // without all Gone that drifted
	WithoutWood                   // wood breaks dropped
	ZerosAsZero                   // fell apart counted as 0
	AsBounds                      // wood and rig breaks as lower bounds: the fitted median
)

// A SensitivityLine is the mean of a group, or its fitted median, worked out
// in one way.
type SensitivityLine struct {
	Choice Choice
	Who    Specimen    // who is left out, WithoutOne
	Strays []Straggler // where it drifted
	Gone   int         // how many are left out, WithoutAll
	N      int         // specimens that it rests on
	Mean   *float64    // MPa
}

// sensitivity lists the groups for which another choice makes another number.
func sensitivity(all []Group, stray straying) []Sensitivity {
	out := []Sensitivity{}
	for _, g := range all {
		s := Sensitivity{Adhesive: g.Adhesive, Treatment: g.Treatment, Rig: g.Rig, State: g.State}
		s.Lines = g.otherways(stray)
		if len(s.Lines) > 1 {
			out = append(out, s)
		}
	}
	return out
}

func (g Group) otherways(stray straying) []SensitivityLine {
	survivors := g.Survivors()
	lines := append([]SensitivityLine{line(AsItStands, survivors)}, withoutStrays(survivors, stray)...)
	if g.WoodLimited > 0 {
		lines = append(lines, line(WithoutWood, filter(survivors, func(s Specimen) bool { return !woodBroke(s) })))
	}
	if g.FellApart > 0 {
		lines = append(lines, line(ZerosAsZero, g.counted()))
	}
	if g.Fitted != nil && g.WoodLimited+g.AtLeast > 0 {
		lines = append(lines, SensitivityLine{Choice: AsBounds, N: len(g.Loaded()), Mean: g.Fitted})
	}
	return lines
}

// fewStrays is up to how many strays are left out one by one as well.
const fewStrays = 3

// withoutStrays leaves out each survivor that drifted, and all of them.
func withoutStrays(survivors []Specimen, stray straying) (lines []SensitivityLine) {
	gone := filter(survivors, func(s Specimen) bool { return stray[s.Code] != nil })
	if len(gone) <= fewStrays {
		for _, g := range gone {
			l := line(WithoutOne, filter(survivors, func(s Specimen) bool { return s.Code != g.Code }))
			l.Who, l.Strays = g, stray[g.Code]
			lines = append(lines, l)
		}
	}
	if len(gone) > 1 {
		l := line(WithoutAll, filter(survivors, func(s Specimen) bool { return stray[s.Code] == nil }))
		l.Gone = len(gone)
		lines = append(lines, l)
	}
	return lines
}

func line(choice Choice, of []Specimen) SensitivityLine {
	l := SensitivityLine{Choice: choice, N: len(of)}
	if m, err := stat.Mean(shears(of)); err == nil {
		l.Mean = &m
	}
	return l
}
