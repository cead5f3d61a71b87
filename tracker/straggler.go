package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// A group is judged by its median, and a median hides one that was treated
// otherwise: a block that soaked 29 days among two that soaked seven. So every
// group knows its stragglers.

// Stragglers are the specimens of a group that were treated otherwise than it was.
// Where its median kept the plan those are the ones outside their limits; where
// it did not, those out of tolerance from that median. A limit ("at most") that
// half of them or more broke makes none. Only what has ended and is known for
// certain counts.
func (d IntervalDrift) Stragglers(adhesive, treatment string) (out []SpecimenDrift) {
	for _, s := range d.Specimens {
		if s.of(adhesive, treatment) && d.Straggles(s) {
			out = append(out, s)
		}
	}
	return out
}

// Straggles reports whether s was treated otherwise than its group was.
func (d IntervalDrift) Straggles(s SpecimenDrift) bool {
	switch {
	case !s.Done || !s.Known:
		return false
	case !drifts(s.Planned):
		return s.Verdict.Outside() && !d.mostOutside(s.Of)
	}
	moved := d.moved(s)
	if moved == 0 {
		return s.Verdict.Outside()
	}
	early, late := s.tolerance()
	slack := s.Hi/2 - s.Lo/2
	return s.Drift-moved-slack > late || s.Drift-moved+slack < -early
}

// GroupOf is the drift of the group of s; nil while none of it has ended.
func (d IntervalDrift) GroupOf(s SpecimenDrift) *GroupDrift {
	i := slices.IndexFunc(d.Groups, func(g GroupDrift) bool { return s.of(g.Adhesive, g.Treatment) })
	if i < 0 {
		return nil
	}
	return &d.Groups[i]
}

// moved is by how much the group of s left the plan as a whole; 0 where it kept to it.
func (d IntervalDrift) moved(s SpecimenDrift) time.Duration {
	early, late := s.tolerance()
	if g := d.GroupOf(s); g != nil && (g.Drift > late || g.Drift < -early) {
		return g.Drift
	}
	return 0
}

// mostOutside reports whether half of the group of a specimen or more broke a limit:
// then that is how the group was treated.
func (d IntervalDrift) mostOutside(of Specimen) bool {
	n, outside := 0, 0
	for _, s := range d.Specimens {
		if s.of(of.Adhesive, of.Treatment) && s.Done {
			n++
			if s.Verdict.Outside() {
				outside++
			}
		}
	}
	return 2*outside >= n
}

func (s SpecimenDrift) of(adhesive, treatment string) bool {
	return s.Of.Adhesive == adhesive && s.Of.Treatment == treatment
}

// tolerance is how much earlier and later than its target s may be.
func (s SpecimenDrift) tolerance() (early, late time.Duration) {
	if p := s.Planned; p.Kind == schedule.AsPartner {
		p = p.AsLongAs(s.Actual() - s.Drift)
		return p.Early, p.Late
	}
	return s.Planned.Early, s.Planned.Late
}
