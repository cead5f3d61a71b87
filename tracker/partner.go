package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// compare adds what a life owes to its soaked partners: the age it should be
// broken at, and whether it was.
func (r *Record) compare(life *Life) {
	for i := range life.Lapses {
		l := &life.Lapses[i]
		if l.Interval.Planned.Kind != schedule.AsPartner || !l.Done {
			continue
		}
		now := r.partnersNow(life)
		if now.inBath != nil {
			r.remarkAhead(life, *l, now.inBath)
			continue
		}
		if now.broken {
			planned := l.Interval.Planned.AsLongAs(now.age)
			_, _, l.Verdict = planned.Judge(l.From, l.To)
			r.remarkLapse(life, *l, planned)
		}
	}
}

// remarkAhead marks a control that was broken while a partner lies in the bath. It
// asks unless that was done in the window that was due then: whoever follows what is
// due shall not be asked why. The ages are compared once the partner is broken.
func (r *Record) remarkAhead(life *Life, l Lapse, partner *Life) {
	e := r.outlook(l.To.Mid()).expect(life)
	_, _, v := l.Interval.Planned.AsLongAs(e.age).Judge(l.From, l.To)
	r.hang(life, l, Mark{Rule: RulePartnerInBath, About: PartnerInBath{partner.code}, Asks: v != schedule.Within})
}

// remark hangs a mark that asks on the event that closed a lapse.
func (r *Record) remark(life *Life, l Lapse, rule Rule, about About) {
	r.hang(life, l, Mark{Rule: rule, About: about, Asks: true})
}

// hang hangs a mark on the event that closed a lapse.
func (r *Record) hang(life *Life, l Lapse, m Mark) {
	m.Event, m.Code, m.At = l.Closed, life.code, l.To.Mid()
	m.Accepted = r.acceptance(m)
	life.Marks = append(life.Marks, m)
}

// remarkLapses marks the closed intervals that left the length planned for
// them; those that follow a partner are compared with it first.
func (r *Record) remarkLapses(life *Life) {
	for _, l := range life.Lapses {
		if l.Done && l.Interval.Planned.Kind != schedule.AsPartner {
			r.remarkLapse(life, l, l.Interval.Planned)
		}
	}
	slices.SortStableFunc(life.Marks, func(a, b Mark) int { return a.At.Compare(b.At) })
}

// remarkLapse marks a closed interval that left the length planned for it.
func (r *Record) remarkLapse(life *Life, l Lapse, planned schedule.Planned) {
	switch l.Verdict {
	case schedule.Early, schedule.Late, schedule.CannotTell:
		r.remark(life, l, LapseRule(l.Interval.Name, l.Verdict), OffPlan{l.Interval.Name, planned, l.Verdict, l.Lo, l.Hi})
	}
}

// Mid is the length, or the middle of the range that it is known to lie in;
// of a range without an upper end its lower one.
func (l Lapse) Mid() time.Duration { return midLength(l.Lo, l.Hi) }

func midLength(lo, hi time.Duration) time.Duration {
	if hi == schedule.Unbounded {
		return lo
	}
	return lo + (hi-lo)/2
}

// partnersNow are how the soaked partners of a group of controls stand, which is asked for each
// of the controls and worked out once.
type partnersNow struct {
	inBath *Life // the first that lies in the bath; nil where none does
	age    time.Duration
	broken bool // all of them, at that median age
}

// partnersNow is that of the group of a life, as the record is now.
func (r *Record) partnersNow(life *Life) partnersNow {
	key := partnerKey(life.Specimen)
	now, known := r.abreast[key]
	if !known {
		all := r.partnersOf(life)
		if i := slices.IndexFunc(all, func(p *Life) bool { return p.Next != "" && p.InWater() }); i >= 0 {
			now.inBath = all[i]
		}
		now.age, now.broken = medianAge(all)
		r.abreast[key] = now
	}
	return now
}

// partnersOf lists the lives of the soaked partners: those of the same
// adhesive on the same board, or all of the adhesive where there are no boards.
func (r *Record) partnersOf(life *Life) []*Life {
	var found []*Life
	for _, i := range r.partners[partnerKey(life.Specimen)] {
		if p := r.alone(i); p.End == "" {
			found = append(found, p)
		}
	}
	return found
}

// medianAge is the median age at break of lives; false while one of them is whole.
func medianAge(lives []*Life) (time.Duration, bool) {
	var ages []time.Duration
	for _, p := range lives {
		from, to, done := p.age()
		if !done {
			return 0, false
		}
		ages = append(ages, to.Sub(from))
	}
	return schedule.Median(ages), len(ages) > 0
}

// age returns when a life's age began and when it was broken.
func (l *Life) age() (from, to time.Time, done bool) {
	for _, s := range l.Steps {
		if s.Stage == schedule.ClampRemoval || s.Stage == schedule.GlueUp && from.IsZero() {
			from = s.At.Mid()
		}
	}
	if broke := l.Break(); broke != nil {
		to = broke.At.Mid()
	} else if n := len(l.Tries); n > 0 && (l.Next == "" || l.triedSince()) {
		to = l.Tries[n-1].At.Mid()
	}
	return from, to, !from.IsZero() && !to.IsZero()
}

// forecast is when a life will be broken if everything still to come keeps to
// the plan and begins no earlier than now.
func (r *Record) forecast(life *Life, now time.Time) (time.Time, bool) {
	if _, to, done := life.age(); done {
		return to, true
	}
	if len(life.Steps) == 0 {
		return time.Time{}, false
	}
	at := life.Steps[len(life.Steps)-1].At.Mid()
	for _, stage := range life.ahead() {
		at = later(at.Add(life.wait(stage)), now)
	}
	return at, true
}

// wait is the planned length of the interval that ends with a stage; a limit
// from above may be nothing. Where a step ends there that began in the same
// bath, the soak as a sum does not count.
func (l *Life) wait(stage schedule.Stage) time.Duration {
	sum := time.Duration(0)
	for i := range l.Lapses {
		iv := &l.Lapses[i].Interval
		p := iv.Planned
		switch {
		case iv.To != stage || p.Kind != schedule.Target && p.Kind != schedule.AtLeast:
		case iv.Name != schedule.Soak:
			return p.Length + l.before(iv.From)
		default:
			sum = p.Length
		}
	}
	return sum
}

// before is the length of a step of a schedule's own that ends at a stage and
// is still to begin.
func (l *Life) before(own schedule.Stage) time.Duration {
	met := slices.ContainsFunc(l.Steps, func(s Step) bool { return s.Stage == own })
	if standard(own) || met || own == l.Next {
		return 0
	}
	for i := range l.Lapses {
		iv := l.Lapses[i].Interval
		if k := iv.Planned.Kind; iv.To == own && standard(iv.From) && (k == schedule.Target || k == schedule.AtLeast) {
			return iv.Planned.Length
		}
	}
	return 0
}

func later(a, b time.Time) time.Time {
	if a.Before(b) {
		return b
	}
	return a
}
