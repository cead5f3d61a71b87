package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
)

// Due lists what is to happen next to every specimen, soonest first: what is
// overdue, due, soon, and what is still running; the dummies that are due or
// overdue; and the next change of water of every bath.
func (r *Record) Due(now time.Time) []Due {
	ahead := r.outlook(now)
	var all []Due
	for i := range r.specimens {
		if d := ahead.dueOf(r.alone(i)); d != nil {
			all = append(all, *d)
		}
	}
	if r.study != nil {
		all = append(all, r.dueDummies(now)...)
		all = append(all, r.dueWater(now)...)
	}
	slices.SortStableFunc(all, sooner)
	return all
}

// sooner orders what is due by its deadline.
func sooner(a, b Due) int {
	return cmp.Or(a.deadline().Compare(b.deadline()), cmp.Compare(a.Specimen.Code.Serial, b.Specimen.Code.Serial), cmp.Compare(a.Bath, b.Bath))
}

// deadline is the instant a due is sorted by.
func (d Due) deadline() time.Time {
	if d.Window.Closes.IsZero() {
		return d.Window.At
	}
	return d.Window.Closes
}

// An outlook is the view from one instant ahead. Controls with the same
// partners are to be broken at the same age, which is worked out once.
type outlook struct {
	*Record
	now  time.Time
	ages map[string]expectation // by partnerKey
}

type expectation struct {
	age   time.Duration
	known bool // the partners are broken: no forecast is in it
}

func (r *Record) outlook(now time.Time) outlook { return outlook{r, now, map[string]expectation{}} }

// dueOf finds the tightest window of the intervals that the life's next stage ends.
func (o outlook) dueOf(life *Life) *Due {
	if life.Next == "" || life.Next == schedule.Break && life.triedSince() {
		return nil
	}
	var best *Due
	next := schedule.Pass(life.Next, life.Pass)
	for i := range life.Lapses {
		l := &life.Lapses[i]
		again := life.Next == schedule.LiftOut && l.Interval.Name == schedule.Soak // put back, it owes what is left
		if l.Interval.To != next || !l.Begun || l.Done && !again {
			continue
		}
		if d := o.dueAt(life, l); d != nil && (best == nil || d.deadline().Before(best.deadline())) {
			best = d
		}
	}
	if best == nil && len(life.Spells) > life.passes && life.InWater() {
		return life.unplanned()
	}
	return best
}

// unplanned is the lift-out of a specimen that was put back where no length is
// planned for that: any time will do, but not never.
func (l *Life) unplanned() *Due {
	return &Due{Specimen: l.Specimen, Bath: l.Specimen.Bath, Stage: l.Next, Pass: l.Pass, State: schedule.Due, Sure: true}
}

// triedSince reports whether the last thing that happened to a specimen was a
// try at breaking it: a bond that the rig could not break is not overdue.
func (l *Life) triedSince() bool {
	if len(l.Tries) == 0 || len(l.Steps) == 0 {
		return len(l.Tries) > 0
	}
	return !l.Tries[len(l.Tries)-1].At.Mid().Before(l.Steps[len(l.Steps)-1].At.Mid())
}

func (o outlook) dueAt(life *Life, l *Lapse) *Due {
	planned, sure := l.Interval.Planned, l.From.Exact()
	if planned.Kind == schedule.AsPartner {
		e := o.expected(life)
		if e.age <= 0 {
			return nil
		}
		planned, sure = planned.AsLongAs(e.age), sure && e.known
	}
	began := l.began(life)
	w := planned.Window(began)
	return &Due{From: began.Mid(), Specimen: life.Specimen, Bath: life.Specimen.Bath, Interval: l.Interval.Name, Stage: life.Next, Pass: life.Pass,
		Window: w, State: w.State(planned.Length, o.now), Over: w.Over(o.now), Sure: sure}
}

// began is when the interval began that is running now. A specimen put back
// into the bath owes only what is left of its soak.
func (l Lapse) began(life *Life) schedule.Span {
	n := len(life.Spells)
	if l.Interval.Name != schedule.Soak || n == 0 {
		return l.From
	}
	resumed := life.Spells[n-1].In
	if l.paused(life) {
		resumed = life.Spells[n-1].Out // with this spell counted
	} else if n == 1 {
		return l.From
	}
	return schedule.Span{From: resumed.From.Add(-l.Hi), To: resumed.To.Add(-l.Lo)}
}

// paused reports whether a soak that goes on later rests now: between two
// passes nothing is under water.
func (l Lapse) paused(life *Life) bool {
	return l.Interval.Name == schedule.Soak && !l.Done && len(life.Spells) > 0 && !life.InWater()
}

// until is when an interval that has not ended was last running.
func (l Lapse) until(life *Life, now time.Time) schedule.Span {
	if l.paused(life) {
		return life.Spells[len(life.Spells)-1].Out
	}
	return schedule.At(now)
}

// expected is the age at which a control should be broken: its partners' age
// at break, forecast while they are whole.
func (o outlook) expected(life *Life) expectation {
	key := partnerKey(life.Specimen)
	e, done := o.ages[key]
	if !done {
		e = o.expect(life)
		o.ages[key] = e
	}
	return e
}

func (o outlook) expect(life *Life) expectation {
	if now := o.partnersNow(life); now.broken {
		return expectation{now.age, true}
	}
	var ages []time.Duration
	for _, p := range o.partnersOf(life) {
		from, _, _ := p.age()
		if at, ok := o.forecast(p, o.now); ok && !from.IsZero() {
			ages = append(ages, at.Sub(from))
		}
	}
	return expectation{age: schedule.Median(ages)}
}
