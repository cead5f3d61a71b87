package report

import (
	"slices"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
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

// mostOdd is how many odd specimens a page has room for.
const mostOdd = 1000

func (s *source) odd() (groups []oddGroup, ones []oddOne, left int) {
	crowded := map[string]bool{}
	for _, c := range strength.Crowds(s.results.Specimens, rulesOf) {
		crowded[c.Rule] = true
		groups = append(groups, oddGroup{c.Rule, names(c.Who)})
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

func names(of []strength.Specimen) (all []string) {
	for _, sp := range of {
		all = append(all, sp.Called())
	}
	return all
}

func rulesOf(sp strength.Specimen) (rules []string) {
	for _, m := range marksOf(sp) {
		rules = append(rules, m.Rule)
	}
	return rules
}

// A told is a mark in words.
type told struct{ Rule, Text string }

// marksOf are a specimen's marks, with what its strength itself leaves open.
func marksOf(sp strength.Specimen) (marks []told) {
	for _, m := range sp.Marks {
		marks = append(marks, told{m.Rule, wording.StrengthMark(m)})
	}
	if sp.Provisional {
		marks = append(marks, told{"provisional", wording.Provisional(sp)})
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
	waits := sp.Outcome == strength.NoneYet && len(one.Marks) > 0
	return one, waits || sp.Odd(len(one.Marks))
}

// outcomeText says how a specimen ended and what number came of it.
func (s *source) outcomeText(sp strength.Specimen) string {
	text, u := s.endedText(sp), s.units()
	switch {
	case sp.Bound.Measured():
		text += ", " + phrase(sp.Bound) + u.stress(sp.ShearMPa).Shown + " " + u.StressUnit()
	case sp.Bound == stat.Zero:
		text += ", counted as 0"
	}
	if sp.PlusMinus != nil && sp.Bound != stat.Zero {
		text += " ± " + u.stress(sp.PlusMinus).Shown
	}
	return text
}
