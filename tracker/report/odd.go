package report

import (
	"slices"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// An oddGroup is something that so many specimens share that it is said once.
type oddGroup struct {
	Rule string
	Who  []string
}

// An oddOne is one specimen that did not simply break within its plan.
type oddOne struct {
	Called, Kind, Outcome string
	Marks                 []string
}

// The measures of the list of odd specimens: a mark that a crowd bears, at
// least so many and half of all, is told once; and a page has room for so many
// lines.
const (
	crowd   = 4
	mostOdd = 1000
)

func (s *source) odd() (groups []oddGroup, ones []oddOne, left int) {
	bearers := newTally()
	for _, sp := range s.results.Specimens {
		for _, m := range marksOf(sp) {
			bearers.add(m.Rule, sp.Called())
		}
	}
	crowded := map[string]bool{}
	for _, rule := range bearers.order {
		if n := len(bearers.who[rule]); n >= crowd && 2*n >= len(s.results.Specimens) {
			crowded[rule] = true
			groups = append(groups, oddGroup{rule, bearers.who[rule]})
		}
	}
	for _, sp := range s.results.Specimens {
		one, odd := s.newOddOne(sp, crowded)
		switch {
		case !odd:
		case len(ones) == mostOdd:
			left++
		default:
			ones = append(ones, one)
		}
	}
	return groups, ones, left
}

// marksOf are a specimen's marks, with what its strength itself leaves open.
func marksOf(sp strength.Specimen) []strength.Mark {
	marks := slices.Clone(sp.Marks)
	if sp.Provisional {
		marks = append(marks, strength.Mark{Rule: "provisional", Text: "provisional: its fracture faces have not been read"})
	}
	if sp.Nominal && sp.ShearMPa != nil && sp.Bound != stat.Zero {
		marks = append(marks, strength.Mark{Rule: "nominal area", Text: "on the planned bond area: nobody measured this one"})
	}
	return marks
}

func (s *source) newOddOne(sp strength.Specimen, told map[string]bool) (oddOne, bool) {
	one := oddOne{Called: called(sp), Kind: s.kind(sp.Adhesive) + " " + sp.Treatment, Outcome: s.outcomeText(sp)}
	for _, m := range marksOf(sp) {
		if !told[m.Rule] && !slices.Contains(one.Marks, m.Text) {
			one.Marks = append(one.Marks, m.Text)
		}
	}
	plain := sp.Outcome == strength.Broke || sp.Outcome == strength.NoneYet
	return one, !plain || len(one.Marks) > 0
}

// outcomeText says how a specimen ended and what number came of it.
func (s *source) outcomeText(sp strength.Specimen) string {
	text, u := s.endedText(sp), s.units()
	switch sp.Bound {
	case stat.Exact:
		text += ", " + u.stress(sp.ShearMPa).Shown + " " + u.StressUnit()
	case stat.AtLeast:
		text += ", at least " + u.stress(sp.ShearMPa).Shown + " " + u.StressUnit()
	case stat.Zero:
		text += ", counted as 0"
	}
	if sp.PlusMinus != nil && sp.Bound != stat.Zero {
		text += " ± " + u.stress(sp.PlusMinus).Shown
	}
	return text
}
