package tracker

import (
	"fmt"
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
		if r.partnerInBath(life) {
			r.remark(life, *l, "partner in bath", "broken while its soaked partner still lies in the bath")
			continue
		}
		if target, ok := r.partnerAge(life); ok {
			l.Verdict = apart(l.Lo-target, l.Hi-target, l.Interval.Planned)
			r.remarkLapse(life, *l, target)
		}
	}
}

// apart judges a departure, known to lie between lo and hi, by the tolerances of p.
func apart(lo, hi time.Duration, p schedule.Planned) schedule.Verdict {
	switch {
	case hi < -p.Early:
		return schedule.Early
	case lo > p.Late:
		return schedule.Late
	case lo < -p.Early || hi > p.Late:
		return schedule.CannotTell
	}
	return schedule.Within
}

// remark hangs a mark that asks on the event that closed a lapse.
func (r *Record) remark(life *Life, l Lapse, rule, text string) {
	m := Mark{Rule: rule, Text: text, Asks: true, Event: l.Closed, Code: life.Specimen.Code.String(), At: middle(l.To)}
	m.Accepted = r.acceptance(m)
	life.Marks = append(life.Marks, m)
}

// remarkLapse says how a closed interval left its tolerance; target is the
// length that was wanted.
func (r *Record) remarkLapse(life *Life, l Lapse, target time.Duration) {
	p, length := l.Interval.Planned, l.Lo+(l.Hi-l.Lo)/2
	rule := l.Interval.Name + " " + l.Verdict.String()
	switch l.Verdict {
	case schedule.Early:
		r.remark(life, l, rule, fmt.Sprintf("%s %s, plan %s: %s short of the limit", l.Interval.Name, schedule.Short(length),
			wanted(p, target), schedule.Short(shortfall(p, target, length))))
	case schedule.Late:
		r.remark(life, l, rule, fmt.Sprintf("%s %s, plan %s: over the limit by %s", l.Interval.Name, schedule.Short(length),
			wanted(p, target), schedule.Short(-shortfall(p, target, length))))
	case schedule.CannotTell:
		r.remark(life, l, rule, fmt.Sprintf("%s between %s and %s, plan %s: cannot tell", l.Interval.Name, schedule.Short(l.Lo),
			schedule.Short(l.Hi), wanted(p, target)))
	}
}

// shortfall is how far a length stays below the lower limit, or, negative,
// beyond the upper one.
func shortfall(p schedule.Planned, target, length time.Duration) time.Duration {
	if length < target {
		return target - p.Early - length
	}
	return target + p.Late - length
}

// wanted writes a planned length for people.
func wanted(p schedule.Planned, target time.Duration) string {
	switch p.Kind {
	case schedule.AtLeast:
		return "at least " + schedule.Short(p.Length)
	case schedule.AtMost:
		return "at most " + schedule.Short(p.Length)
	}
	early, late := schedule.Short(p.Early), schedule.Short(p.Late)
	if p.Early == p.Late {
		return schedule.Short(target) + " +/- " + late
	}
	return schedule.Short(target) + " + " + late + " - " + early
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

func (r *Record) partnerInBath(life *Life) bool {
	return slices.ContainsFunc(r.partnersOf(life), func(p *Life) bool { return p.Next == schedule.LiftOut })
}

// partnerAge is the median age at break of the soaked partners; false while
// one of them is whole.
func (r *Record) partnerAge(life *Life) (time.Duration, bool) {
	var ages []time.Duration
	for _, p := range r.partnersOf(life) {
		from, to, done := p.age()
		if !done {
			return 0, false
		}
		ages = append(ages, to.Sub(from))
	}
	return median(ages)
}

// age returns when a life's age began and when it was broken.
func (l *Life) age() (from, to time.Time, done bool) {
	for _, s := range l.Steps {
		if s.Stage == schedule.ClampRemoval || s.Stage == schedule.GlueUp && from.IsZero() {
			from = middle(s.At)
		}
	}
	if n := len(l.Tries); n > 0 && (l.Next == "" || l.triedSince()) {
		to = middle(l.Tries[n-1].At)
	}
	return from, to, !from.IsZero() && !to.IsZero()
}

func median(d []time.Duration) (time.Duration, bool) {
	if len(d) == 0 {
		return 0, false
	}
	d = slices.Sorted(slices.Values(d))
	n := len(d)
	return d[(n-1)/2] + (d[n/2]-d[(n-1)/2])/2, true
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
	at := middle(life.Steps[len(life.Steps)-1].At)
	path := r.study.Path(life.Specimen)
	for _, stage := range path[max(0, slices.Index(path, life.Next)):] {
		at = later(at.Add(life.wait(stage)), now)
	}
	return at, true
}

// wait is the planned length of the interval that ends with a stage; a limit
// from above may be nothing.
func (l *Life) wait(stage schedule.Stage) time.Duration {
	for _, lapse := range l.Lapses {
		p := lapse.Interval.Planned
		if lapse.Interval.To == stage && (p.Kind == schedule.Target || p.Kind == schedule.AtLeast) {
			return p.Length
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
