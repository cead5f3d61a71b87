package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
)

// Ahead reports whether a specimen is to go through a stage, as somebody named it,
// and has not been through it, or through all of its passes.
func (r *Record) Ahead(life *Life, named schedule.Stage) bool {
	return r.Missed(life, named) && !life.gone(named)
}

// Missed reports whether a specimen was to go through a stage and never did,
// be it still to come or not: what fell apart in the bath is never lifted out.
func (r *Record) Missed(life *Life, named schedule.Stage) bool {
	switch {
	case life.IsNext(named):
		return true
	case life.Done()[named]:
		return false
	}
	return r.study.StagesOf(life.Specimen)[named]
}

// gone reports whether a specimen cannot go through a stage any more: it ended,
// or it came apart, and the stage does not follow the break.
func (l *Life) gone(named schedule.Stage) bool {
	follows := func(lapse Lapse) bool {
		return lapse.Interval.From == schedule.Break && lapse.Interval.To == named
	}
	return l.End != "" || l.Done()[schedule.Break] && !slices.ContainsFunc(l.Lapses, follows)
}

// IsNext reports whether a stage, as somebody named it, is the next of a life.
// Without a number it is the next pass, whichever that is.
func (l *Life) IsNext(named schedule.Stage) bool {
	stage, pass := schedule.PassOf(named)
	return stage == l.Next && (pass == 1 || pass == l.Pass)
}

// Awaits reports whether a stage, as somebody named it, can come now: the next
// one, or, while only preparations are on record, one of these in any order and
// the first work behind them, as a preparation that was not written down is not
// missed.
func (l *Life) Awaits(named schedule.Stage) bool {
	switch {
	case l.IsNext(named):
		return true
	case l.Next == "" || l.working():
		return false
	case named.Prepares():
		return named.Renews() || !l.Done()[named]
	}
	i := slices.IndexFunc(l.path, func(s schedule.Stage) bool { return !s.Prepares() })
	return i >= 0 && l.path[i] == named
}

// NotYet reports whether a step that comes before a stage is on record for later
// than an instant: the specimen was not so far then.
func (l *Life) NotYet(named schedule.Stage, at time.Time) bool {
	stage, _ := schedule.PassOf(named)
	before := l.path[:max(0, slices.Index(l.path, stage))]
	return slices.ContainsFunc(l.Steps, func(s Step) bool { return s.At.Mid().After(at) && slices.Contains(before, s.Stage) })
}

// Done lists the stages that a life went through, each pass under its own name.
func (l *Life) Done() map[schedule.Stage]bool {
	done := map[schedule.Stage]bool{}
	for _, step := range l.Steps {
		done[schedule.Pass(step.Stage, step.Pass)] = true
	}
	for _, try := range l.Tries {
		if try.How.Parts() {
			done[schedule.Break] = true
		}
	}
	return done
}

// StagesOf lists the stages that the plan has for a specimen: its path, and the
// ends of its intervals.
func (s *Study) StagesOf(of Specimen) map[schedule.Stage]bool {
	planned := map[schedule.Stage]bool{}
	for _, stage := range s.Path(of) {
		planned[stage] = true
	}
	for _, iv := range s.IntervalsOf(of) {
		planned[iv.From], planned[iv.To] = true, true
	}
	return planned
}

// LoadedBefore is the last try of a specimen that it left whole; nil where there
// was none, or where the specimen has been through more since.
func (l *Life) LoadedBefore() *TryAt {
	n := len(l.Tries)
	if l.Next != schedule.Break || n == 0 {
		return nil
	}
	last, steps := &l.Tries[n-1], l.Steps
	if len(steps) > 0 && last.At.Mid().Before(steps[len(steps)-1].At.Mid()) {
		return nil
	}
	return last
}

// BreakOrder compares two specimens by when to break them: what was loaded
// before last, what waits wet first, then by board and as dealt.
func (r *Record) BreakOrder(a, b Specimen) int {
	return cmp.Or(cmp.Compare(r.Life(a.Code).turn(), r.Life(b.Code).turn()), cmp.Compare(a.Board, b.Board),
		cmp.Compare(a.Order, b.Order), cmp.Compare(a.Code.Serial, b.Code.Serial))
}

// turn is 0 for a specimen out of the water and waiting, 2 for one that a try
// left whole, 1 for others.
func (l *Life) turn() int {
	switch {
	case l.LoadedBefore() != nil:
		return 2
	case len(l.Spells) > 0:
		return 0
	}
	return 1
}
