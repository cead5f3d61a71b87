package arrange

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
)

// verify says in words which limits of a problem a calendar breaks, nothing
// when it keeps all of them. It shares no arithmetic with the search: hours are
// looked up minute by minute on the clock on the wall, and intervals are judged
// bond by bond as those of a record are.
func verify(p Problem, c Calendar) []string {
	v := verifier{p: p, bonds: map[string][]bond{}}
	if err := check(&v.p); err != nil {
		return []string{err.Error()}
	}
	tasks := slices.Clone(c.Tasks)
	slices.SortStableFunc(tasks, func(a, b Task) int { return a.From.Compare(b.From) })
	v.hours(tasks)
	v.hands(tasks)
	v.follow(tasks)
	for _, g := range v.p.Groups {
		v.group(g)
	}
	v.clamps()
	v.start(tasks)
	return v.found
}

// A bond is when each step has happened to it, and when work on it began.
type bond struct {
	group   *Group
	sitting int
	begun   time.Time
	done    map[schedule.Stage]time.Time
}

type verifier struct {
	p     Problem
	bonds map[string][]bond // by group
	found []string
}

func (v *verifier) say(format string, args ...any) {
	v.found = append(v.found, fmt.Sprintf(format, args...))
}

func (t Task) String() string {
	return fmt.Sprintf("%s of %s, sitting %d, %s", t.Stage, t.Group, t.Sitting, t.From.Format("Mon 2 Jan 15:04"))
}

// hours looks at every minute of every task.
func (v *verifier) hours(tasks []Task) {
	for _, t := range tasks {
		for at := t.From; ; at = at.Add(time.Minute) {
			if !at.Before(t.To) {
				at = t.To.Add(-1)
			}
			if t.From.Equal(t.To) {
				at = t.From
			}
			if !v.manned(at) && !(t.From.Equal(t.To) && v.manned(at.Add(-1))) {
				v.say("%s: nobody is there at %s", t, at.In(v.p.Zone).Format("Mon 2 Jan 15:04"))
				break
			}
			if !at.Before(t.To.Add(-1)) {
				break
			}
		}
	}
}

func (v *verifier) manned(at time.Time) bool {
	for _, a := range v.p.Away {
		if !at.Before(a.From) && at.Before(a.To) {
			return false
		}
	}
	local := at.In(v.p.Zone)
	minute := local.Hour()*60 + local.Minute()
	return len(v.p.Hours) == 0 || slices.ContainsFunc(v.p.Hours, func(h Hours) bool {
		return h.Day == local.Weekday() && h.Opens <= minute && minute < h.Ends
	})
}

// hands looks for two tasks at once.
func (v *verifier) hands(tasks []Task) {
	for i, a := range tasks {
		for _, b := range tasks[i+1:] {
			if b.From.Before(a.To) && a.From.Before(b.To) {
				v.say("two things at once: %s and %s", a, b)
			}
		}
	}
}

// follow hands each task on to the bonds of its sitting, in their order.
func (v *verifier) follow(tasks []Task) {
	for _, t := range tasks {
		i := slices.IndexFunc(v.p.Groups, func(g Group) bool { return g.Key == t.Group })
		if i < 0 || v.p.Groups[i].stepOf(t.Stage) < 0 {
			v.say("%s: no such group, or none with that stage", t)
			continue
		}
		g := &v.p.Groups[i]
		hands := g.Steps[g.stepOf(t.Stage)].Hands
		if want := time.Duration(t.Bonds) * hands; t.Bonds < 1 || t.To.Sub(t.From) != want {
			v.say("%s: takes %s, and %d bonds take %s", t, t.To.Sub(t.From), t.Bonds, want)
		}
		for k := range t.Bonds {
			v.done(g, t, t.From.Add(time.Duration(k)*hands), hands)
		}
	}
}

// done marks a step on the first bond of the sitting that still lacks it.
func (v *verifier) done(g *Group, t Task, begun time.Time, hands time.Duration) {
	list := v.bonds[g.Key]
	i := slices.IndexFunc(list, func(b bond) bool { return b.sitting == t.Sitting && b.done[t.Stage].IsZero() })
	switch {
	case g.stepOf(t.Stage) == 0:
		list = append(list, bond{g, t.Sitting, begun, map[schedule.Stage]time.Time{}})
		i = len(list) - 1
	case i < 0:
		v.say("%s: more bonds than the sitting has", t)
		return
	}
	list[i].done[t.Stage] = begun.Add(hands)
	v.bonds[g.Key] = list
}

// group looks at everything that concerns one group alone, and its partner.
func (v *verifier) group(g Group) {
	bonds := v.bonds[g.Key]
	if len(bonds) != g.Bonds {
		v.say("%s: %d bonds are glued, not %d", g.Key, len(bonds), g.Bonds)
	}
	for _, b := range bonds {
		v.order(g, b)
		for _, iv := range g.Intervals {
			if iv.Planned.Kind == schedule.AsPartner {
				v.partners(b, iv)
			} else {
				v.interval(b, iv, iv.Planned)
			}
		}
	}
	v.pots(g, bonds)
}

// order looks whether every step happened, one after the other.
func (v *verifier) order(g Group, b bond) {
	for i, step := range g.Steps {
		switch at := b.done[step.Stage]; {
		case at.IsZero():
			v.say("%s, sitting %d: a bond has no %s", g.Key, b.sitting, step.Stage)
		case i > 0 && at.Before(b.done[g.Steps[i-1].Stage]):
			v.say("%s, sitting %d: %s before %s", g.Key, b.sitting, step.Stage, g.Steps[i-1].Stage)
		}
	}
}

// ends are the instants between which an interval of a bond lies.
func (b bond) ends(iv schedule.Interval) (from, to time.Time) {
	from, to = b.done[iv.From], b.done[iv.To]
	if iv.From == schedule.ClampRemoval && from.IsZero() {
		from = b.done[schedule.GlueUp]
	}
	return from, to
}

func (v *verifier) interval(b bond, iv schedule.Interval, p schedule.Planned) {
	from, to := b.ends(iv)
	if from.IsZero() || to.IsZero() {
		return
	}
	if length, _, verdict := p.Judge(schedule.At(from), schedule.At(to)); verdict.Outside() {
		v.say("%s, sitting %d: %s of %s is %s; planned %s", b.group.Key, b.sitting, iv.Name, schedule.Exact(length), verdict, p)
	}
}

// partners measures a bond against every bond of the group that it follows.
func (v *verifier) partners(b bond, iv schedule.Interval) {
	for _, other := range v.bonds[b.group.Follows] {
		from, to := other.ends(iv)
		v.interval(b, iv, iv.Planned.AsLongAs(to.Sub(from)))
	}
}

// pots looks whether every sitting was glued within the pot life.
func (v *verifier) pots(g Group, bonds []bond) {
	for i, b := range bonds {
		first := slices.IndexFunc(bonds, func(other bond) bool { return other.sitting == b.sitting })
		took := b.done[g.Steps[0].Stage].Sub(bonds[first].begun)
		if g.PotLife > 0 && took > g.PotLife {
			v.say("%s, sitting %d: bond %d is glued %s after mixing, pot life %s", g.Key, b.sitting, i-first+1, schedule.Exact(took), schedule.Exact(g.PotLife))
		}
	}
}

// clamps counts them at every instant at which one is put on or taken off.
func (v *verifier) clamps() {
	type change struct {
		at   time.Time
		more int
	}
	var changes []change
	for _, until := range v.p.Held {
		changes = append(changes, change{v.p.Start.AddDate(-1, 0, 0), 1}, change{until, -1})
	}
	for _, g := range v.p.Groups {
		for _, b := range v.bonds[g.Key] {
			if off := b.done[schedule.ClampRemoval]; !off.IsZero() && g.stepOf(schedule.GlueUp) == 0 {
				changes = append(changes, change{b.begun, 1}, change{off, -1})
			}
		}
	}
	slices.SortFunc(changes, func(a, b change) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.more, b.more)) })
	used := 0
	for _, c := range changes {
		if used += c.more; c.more > 0 && v.p.Clamps > 0 && used > v.p.Clamps {
			v.say("%d bonds under pressure at %s, and %d clamps", used, c.at.In(v.p.Zone).Format("Mon 2 Jan 15:04"), v.p.Clamps)
		}
	}
}

// start looks at when the first and the last glue-up are.
func (v *verifier) start(tasks []Task) {
	day := func(t time.Time) string { return t.In(v.p.Zone).Format(time.DateOnly) }
	onDay := false
	for _, t := range tasks {
		i := slices.IndexFunc(v.p.Groups, func(g Group) bool { return g.Key == t.Group })
		if i < 0 || v.p.Groups[i].stepOf(t.Stage) != 0 {
			continue
		}
		onDay = onDay || day(t.From) == day(v.p.Start)
		if t.From.Before(v.p.Start) || t.From.After(v.p.Start.Add(v.p.Spread)) {
			v.say("%s: not within %s of the start", t, schedule.Short(v.p.Spread))
		}
	}
	if !onDay {
		v.say("nothing is glued on %s", day(v.p.Start))
	}
}
