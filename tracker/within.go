package tracker

import (
	"slices"

	"soaktag/schedule"
)

// Within is the drift of the groups of one treatment among themselves: whether
// they were treated alike is asked of those that are compared with each other,
// whatever was done to other treatments.
func (d IntervalDrift) Within(s *Study, treatment string) IntervalDrift {
	own := IntervalDrift{Interval: d.Interval, Planned: d.Planned}
	own.Specimens = slices.DeleteFunc(slices.Clone(d.Specimens), func(x SpecimenDrift) bool { return x.Of.Treatment != treatment })
	own.summarise(s)
	return own
}

// IfEnded is Within as it would be if what runs ended on plan, or now where it is past
// its limit already.
func (d IntervalDrift) IfEnded(s *Study, treatment string) IntervalDrift {
	own := d.Within(s, treatment)
	for i := range own.Specimens {
		x := &own.Specimens[i]
		if !x.Done && x.Verdict != schedule.Late {
			x.Lo, x.Hi, x.Drift, x.Verdict = x.Planned.Length, x.Planned.Length, 0, schedule.Within
		}
		x.Done = true
	}
	own.Groups = nil
	own.summarise(s)
	return own
}
