package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
)

// Due lists what is to happen next to every specimen, soonest first: what is
// overdue, due, soon, and what is still running.
func (r *Record) Due(now time.Time) []Due {
	var all []Due
	for i := range r.specimens {
		if d := r.dueOf(r.alone(i), now); d != nil {
			all = append(all, *d)
		}
	}
	slices.SortStableFunc(all, func(a, b Due) int {
		return cmp.Or(a.deadline().Compare(b.deadline()), cmp.Compare(a.Specimen.Code.Serial, b.Specimen.Code.Serial))
	})
	return all
}

// deadline is the instant a due is sorted by.
func (d Due) deadline() time.Time {
	if d.Window.Closes.IsZero() {
		return d.Window.At
	}
	return d.Window.Closes
}

// dueOf finds the tightest window of the intervals that the life's next stage ends.
func (r *Record) dueOf(life *Life, now time.Time) *Due {
	if life.Next == "" || life.Next == schedule.Break && life.triedSince() {
		return nil
	}
	var best *Due
	for _, l := range life.Lapses {
		if l.Interval.To != life.Next || !l.Begun || l.Done && life.Next != schedule.LiftOut {
			continue
		}
		if d := r.dueAt(life, l, now); d != nil && (best == nil || d.deadline().Before(best.deadline())) {
			best = d
		}
	}
	return best
}

// triedSince reports whether the last thing that happened to a specimen was a
// try at breaking it: a bond that the rig could not break is not overdue.
func (l *Life) triedSince() bool {
	if len(l.Tries) == 0 || len(l.Steps) == 0 {
		return len(l.Tries) > 0
	}
	return !l.Tries[len(l.Tries)-1].At.Mid().Before(l.Steps[len(l.Steps)-1].At.Mid())
}

func (r *Record) dueAt(life *Life, l Lapse, now time.Time) *Due {
	planned, sure := l.Interval.Planned, l.From.Exact()
	if planned.Kind == schedule.AsPartner {
		age, known := r.expectedAge(life, now)
		if age <= 0 {
			return nil
		}
		planned, sure = planned.AsLongAs(age), sure && known
	}
	w := planned.Window(l.began(life))
	return &Due{Specimen: life.Specimen, Bath: life.Specimen.Bath, Interval: l.Interval.Name, Stage: life.Next,
		Window: w, State: w.State(planned.Length, now), Over: w.Over(now), Sure: sure}
}

// began is when the interval began that is running now. A specimen put back
// into the bath owes only what is left of its soak.
func (l Lapse) began(life *Life) schedule.Span {
	n := len(life.Spells)
	if l.Interval.Name != "soak" || n < 2 {
		return l.From
	}
	in := life.Spells[n-1].In
	return schedule.Span{From: in.From.Add(-l.Hi), To: in.To.Add(-l.Lo)}
}

// expectedAge is the age at which a control should be broken: its partners'
// age at break, forecast while they are whole. It reports whether it is known.
func (r *Record) expectedAge(life *Life, now time.Time) (time.Duration, bool) {
	if age, ok := r.partnerAge(life); ok {
		return age, true
	}
	var ages []time.Duration
	for _, p := range r.partnersOf(life) {
		from, _, _ := p.age()
		if at, ok := r.forecast(p, now); ok && !from.IsZero() {
			ages = append(ages, at.Sub(from))
		}
	}
	age, _ := median(ages)
	return age, false
}
