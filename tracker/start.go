package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// A Start is what comes before anything is due: the first work that specimens wait
// for whose clock does not run yet.
type Start struct {
	Stage  schedule.Stage
	N      int       // how many wait for it
	GlueUp time.Time // when the plan wants the first glue-up, while nothing is glued; else zero
}

// Start finds the first work, in the order of the stages, that begins the clock of
// specimens or prepares them for that; false where all are under way or out.
func (r *Record) Start(now time.Time) (first Start, waits bool) {
	first.GlueUp = r.study.FirstGlueUp
	ahead, stages := r.outlook(now), schedule.Stages()
	for i := range r.specimens {
		life := r.alone(i)
		if life.Done()[schedule.GlueUp] {
			first.GlueUp = time.Time{}
		}
		switch at := slices.Index(stages, life.Next); {
		case life.Next == "" || life.working() || ahead.dueOf(life) != nil:
		case !waits || at < slices.Index(stages, first.Stage):
			waits, first.Stage, first.N = true, life.Next, 1
		case life.Next == first.Stage:
			first.N++
		}
	}
	return first, waits
}

// working reports whether more than preparations is on record of a life.
func (l *Life) working() bool {
	return len(l.Tries) > 0 || slices.ContainsFunc(l.Steps, func(s Step) bool { return !s.Stage.Prepares() })
}
