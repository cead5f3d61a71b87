package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// yardstick settles what one interval is judged against over the whole study.
// Where all specimens went by one plan it is that plan. Where the plan was
// amended between the first and the last that began it, they went by several,
// and groups on different plans were not treated alike although each kept to
// its own: then all are held against the first of these plans.
func (d *IntervalDrift) yardstick(r *Record) {
	used := d.used()
	d.Original = r.planIn(0, d)
	d.Mixed = slices.ContainsFunc(d.Specimens, func(s SpecimenDrift) bool {
		return slices.ContainsFunc(used, func(i int) bool { return r.plannedIn(i, s, d.Interval) != s.Planned })
	})
	base := used[len(used)-1]
	if d.Mixed {
		base = used[0]
	}
	if p := r.planIn(base, d); p.Kind != schedule.None {
		d.Planned = p
	}
	for i := range d.Specimens {
		d.Specimens[i].measure(r, base, d)
	}
}

// measure gives a specimen the yardstick where its own plan is not it.
func (s *SpecimenDrift) measure(r *Record, base int, d *IntervalDrift) {
	if p := r.plannedIn(base, *s, d.Interval); d.Mixed && p.Kind == schedule.Target && s.Planned.Kind == schedule.Target {
		s.yard = p
	}
}

// against is what a specimen is held against beside the others, and its drift
// from that: its own plan unless there is a yardstick.
func (s SpecimenDrift) against() (schedule.Planned, time.Duration) {
	if s.yard.Kind == schedule.None {
		return s.Planned, s.Drift
	}
	return s.yard, midLength(s.Lo, s.Hi) - s.yard.Length
}

// used lists the plans, by their order, that the specimens of an interval went by.
func (d *IntervalDrift) used() (used []int) {
	for _, s := range d.Specimens {
		if !slices.Contains(used, s.edition) {
			used = append(used, s.edition)
		}
	}
	slices.Sort(used)
	return used
}

// planIn is the length that a plan has for all specimens of an interval. Where
// they have several it is the plan's own; where only a treatment or an adhesive
// has it, that of the first such; None where that plan has none.
func (r *Record) planIn(edition int, d *IntervalDrift) schedule.Planned {
	s, name := r.editions[edition].study, d.Interval
	one := r.plannedIn(edition, d.Specimens[0], name)
	if !slices.ContainsFunc(d.Specimens, func(s SpecimenDrift) bool { return r.plannedIn(edition, s, name) != one }) {
		return one
	}
	if iv, ok := intervalNamed(s.Intervals, name); ok {
		return iv.Planned
	}
	for _, of := range r.specimens {
		if iv, ok := intervalNamed(s.IntervalsOf(of), name); ok {
			return iv.Planned
		}
	}
	return schedule.Planned{}
}

// plannedIn is a plan's length for an interval of one specimen.
func (r *Record) plannedIn(edition int, s SpecimenDrift, name string) schedule.Planned {
	if edition == s.edition {
		return s.Planned
	}
	iv, _ := intervalNamed(r.editions[edition].study.IntervalsOf(s.Of), name)
	return iv.Planned
}
