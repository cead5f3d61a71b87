package tracker

import "slices"

// Within is the drift of the groups of one treatment among themselves: whether
// they were treated alike is asked of those that are compared with each other,
// whatever was done to other treatments.
func (d IntervalDrift) Within(s *Study, treatment string) IntervalDrift {
	own := IntervalDrift{Interval: d.Interval, Planned: d.Planned}
	own.Specimens = slices.DeleteFunc(slices.Clone(d.Specimens), func(x SpecimenDrift) bool { return x.Of.Treatment != treatment })
	own.summarise(s)
	return own
}
