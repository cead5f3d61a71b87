package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// BreakQueue lists what waits to be broken: what waits wet first, then board by
// board, and inside a board in the order dealt, which is random; after all of
// them what was loaded before and is still whole. When nothing may be broken yet
// it lists what comes later, soonest first, and reports early.
func (r *Record) BreakQueue(now time.Time) (queue []Due, early bool) {
	var open, later []Due
	for _, d := range r.Due(now) {
		switch {
		case d.Stage != schedule.Break:
		case d.State == schedule.Due || d.State == schedule.Overdue:
			open = append(open, d)
		default:
			later = append(later, d)
		}
	}
	r.inBlocks(open)
	queue = append(open, r.BreakAgain()...)
	if len(queue) == 0 {
		return append(later, r.BreakWhenever()...), len(later) > 0
	}
	return queue, false
}

// BreakWhenever lists what is to be broken next and for which no length is planned
// until then, such as a control without an age: never due, and not to be forgotten.
func (r *Record) BreakWhenever() []Due {
	var open []Due
	for _, life := range r.Lives() {
		planned := slices.ContainsFunc(life.Lapses, func(l Lapse) bool { return l.Interval.To == schedule.Break })
		if life.Next == schedule.Break && !planned && life.End == "" && life.LoadedBefore() == nil {
			open = append(open, Due{Specimen: life.Specimen, Bath: life.Specimen.Bath, Stage: schedule.Break})
		}
	}
	r.inBlocks(open)
	return open
}

// BreaksLeft counts the specimens whose next step is the break, due or not, and
// those that a try left whole.
func (r *Record) BreaksLeft(now time.Time) int {
	n := len(r.BreakAgain()) + len(r.BreakWhenever())
	for _, d := range r.Due(now) {
		if d.Stage == schedule.Break {
			n++
		}
	}
	return n
}

// BreakAgain lists what a try left whole: it is never due, and is broken again
// or withdrawn as somebody decides.
func (r *Record) BreakAgain() []Due {
	var again []Due
	for _, life := range r.Lives() {
		if life.LoadedBefore() != nil {
			again = append(again, Due{Specimen: life.Specimen, Bath: life.Specimen.Bath, Stage: schedule.Break})
		}
	}
	r.inBlocks(again)
	return again
}

// inBlocks sorts into the order to break in.
func (r *Record) inBlocks(open []Due) {
	slices.SortStableFunc(open, func(a, b Due) int { return r.BreakOrder(a.Specimen, b.Specimen) })
}
