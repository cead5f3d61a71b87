package strength

import (
	"fmt"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

// A Sensitivity shows what the mean of one group hangs on.
type Sensitivity struct {
	Adhesive  string            `json:"adhesive"`
	Treatment string            `json:"treatment"`
	Rig       Text              `json:"rig"`
	State     Text              `json:"state"`
	Lines     []SensitivityLine `json:"lines"` // the first is the mean as it stands
}

// A SensitivityLine is the mean of a group, or its fitted median, worked out
// in one way.
type SensitivityLine struct {
	Way  string   `json:"way"`
	N    int      `json:"n"` // specimens it rests on
	Mean *float64 `json:"mean_mpa"`
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
	survivors := g.survivors()
	lines := append([]SensitivityLine{line("survivors, wood breaks counted as breaks", survivors)}, withoutStrays(survivors, stray)...)
	if g.WoodLimited > 0 {
		lines = append(lines, line("wood breaks dropped", filter(survivors, func(s Specimen) bool { return !woodBroke(s) })))
	}
	if g.FellApart > 0 {
		lines = append(lines, line("fell apart counted as 0", g.counted()))
	}
	if g.Fitted != nil && g.WoodLimited+g.AtLeast > 0 {
		lines = append(lines, SensitivityLine{"wood and rig breaks as lower bounds (fitted median)", len(g.loaded()), g.Fitted})
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
			way := fmt.Sprintf("without %s (%s)", g.Called(), strings.Join(stray[g.Code], ", "))
			lines = append(lines, line(way, filter(survivors, func(s Specimen) bool { return s.Code != g.Code })))
		}
	}
	if len(gone) > 1 {
		lines = append(lines, line(fmt.Sprintf("without all %d that drifted", len(gone)), filter(survivors, func(s Specimen) bool { return stray[s.Code] == nil })))
	}
	return lines
}

func line(way string, of []Specimen) SensitivityLine {
	l := SensitivityLine{Way: way, N: len(of)}
	if m, err := stat.Mean(shears(of)); err == nil {
		l.Mean = &m
	}
	return l
}

// straying gives, by code, the intervals in which a specimen left the plan.
type straying map[string][]string

// strays are the specimens that left a limit which their group and the study
// as a whole kept. The age of a control is another matter: it bears on
// retention only.
func strays(drift []tracker.IntervalDrift) straying {
	out := straying{}
	for _, d := range drift {
		if d.Interval == age || d.Judged && d.CommonVerdict.Outside() {
			continue
		}
		for _, s := range d.Specimens {
			if code := s.Of.Code.Whole().String(); s.Done && s.Verdict.Outside() && !outside(d, s.Of) {
				out[code] = append(out[code], d.Interval+" "+s.Verdict.String())
			}
		}
	}
	return out
}

// outside reports whether the whole group of a specimen left the others behind.
func outside(d tracker.IntervalDrift, of tracker.Specimen) bool {
	for _, g := range d.Groups {
		if g.Adhesive == of.Adhesive && g.Treatment == of.Treatment {
			return g.Judged && g.Verdict.Outside()
		}
	}
	return false
}
