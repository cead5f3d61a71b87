package strength

import (
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Straggler is a specimen that was treated otherwise than its group, in one
// interval. A median hides it, so it is named wherever its group is, with the
// mean without it.
type Straggler struct {
	Code, Called string
	Interval     string
	Verdict      schedule.Verdict
	Length       time.Duration // how long its interval was
	Usual        time.Duration // what its group had; of a control's age, what its partner and its group make it
}

// straying gives, by code, the intervals in which a specimen straggled.
type straying map[string][]Straggler

// strays are the stragglers in every interval but age. The age of a control is
// another matter: it bears on retention only.
func strays(drift []tracker.IntervalDrift) straying {
	return straggled(drift, func(interval string) bool { return interval != schedule.Age })
}

// agedOtherwise are the stragglers in age.
func agedOtherwise(drift []tracker.IntervalDrift) straying {
	return straggled(drift, func(interval string) bool { return interval == schedule.Age })
}

func straggled(drift []tracker.IntervalDrift, in func(interval string) bool) straying {
	out := straying{}
	for _, d := range drift {
		if !in(d.Interval) {
			continue
		}
		for _, s := range d.Specimens {
			if d.Straggles(s) {
				code := s.Of.Code.Whole().String()
				out[code] = append(out[code], straggler(d, s, code))
			}
		}
	}
	return out
}

func straggler(d tracker.IntervalDrift, s tracker.SpecimenDrift, code string) Straggler {
	out := Straggler{Code: code, Called: s.Of.Called(), Interval: d.Interval, Verdict: s.Verdict, Length: s.Actual()}
	if g := d.GroupOf(s); g != nil {
		out.Usual = s.Actual() - s.Drift + g.Drift
	}
	return out
}

// of are the stragglers among some specimens that were not left out.
func (stray straying) of(members []Specimen) (out []Straggler) {
	for _, s := range members {
		if !leftOutOf(s) {
			out = append(out, stray[s.Code]...)
		}
	}
	return out
}

// without are the specimens that did not straggle.
func (stray straying) without(of []Specimen) []Specimen {
	return filter(of, func(s Specimen) bool { return stray[s.Code] == nil })
}

// straggle names the stragglers of g, and gives its mean without them.
func (g *Group) straggle(stray straying) {
	g.Stragglers = stray.of(g.Members)
	survivors := g.Survivors()
	if rest := stray.without(survivors); len(rest) < len(survivors) {
		g.MeanWithout, _ = spread(shears(rest))
	}
}
