package tracker

import (
	"slices"

	"soaktag/schedule"
)

// StageRows are the stages of a plan in the order in which they happen: every
// pass through the bath on its own, and a stage of the plan's own behind the one
// that its interval begins with.
func (s *Study) StageRows() []schedule.Stage {
	rows := schedule.Stages()
	for n := 2; n <= s.MostPasses(); n++ {
		at := slices.Index(rows, schedule.Break)
		rows = slices.Insert(rows, at, schedule.Pass(schedule.Immersion, n), schedule.Pass(schedule.LiftOut, n))
	}
	for _, iv := range s.everyInterval() {
		if at := slices.Index(rows, iv.From); at >= 0 && !slices.Contains(rows, iv.To) {
			rows = slices.Insert(rows, at+1, iv.To)
		}
	}
	for _, own := range s.Stages() {
		if !slices.Contains(rows, own) {
			rows = append(rows, own)
		}
	}
	return rows
}

// MostPasses is the highest pass through the bath that a plan names.
func (s *Study) MostPasses() int {
	most := 1
	for _, iv := range s.everyInterval() {
		for _, stage := range []schedule.Stage{iv.From, iv.To} {
			_, n := schedule.PassOf(stage)
			most = max(most, n)
		}
	}
	return most
}

// everyInterval lists all intervals that a plan has for anyone.
func (s *Study) everyInterval() []schedule.Interval {
	all := slices.Clone(s.Intervals)
	for _, a := range s.Adhesives {
		all = append(all, a.Intervals...)
	}
	for _, t := range s.Treatments {
		all = append(all, t.Intervals...)
	}
	return all
}
