package arrange

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// An oracle tries every calendar of a small study: every division into
// sittings, every place on the grid for every step. It knows nothing of tables
// and bounds; verify says what counts.
type oracle struct {
	p        Problem
	quarters int
	slots    []time.Time
	known    map[part][]lot
	best     *Calendar
}

// lot is a sitting with all of its tasks.
type lot struct {
	group int
	tasks []Task
}

func (l lot) begins() time.Time { return l.tasks[0].From }

// exhaustive is what Arrange must find, part of the tolerances by part.
func exhaustive(p Problem) *Calendar {
	if err := check(&p); err != nil {
		panic(err)
	}
	whole := newOracle(p, 4).search()
	for quarters := 1; quarters < 4 && whole != nil; quarters++ {
		if c := newOracle(p, quarters).search(); c != nil {
			return c
		}
	}
	return whole
}

// newOracle is one for some quarters of every tolerance. Six days are more than
// the studies of someStudy can last.
func newOracle(p Problem, quarters int) *oracle {
	o := &oracle{p: spend(p, quarters), quarters: quarters, known: map[part][]lot{}}
	for at := p.Start.Truncate(time.Hour); at.Before(p.Start.Add(6 * schedule.Day)); at = at.Add(p.Grid) {
		v := verifier{p: o.p}
		if !at.Before(p.Start) && v.manned(at) {
			o.slots = append(o.slots, at)
		}
	}
	return o
}

func (o *oracle) search() *Calendar {
	for _, d := range o.divisions() {
		o.place(d, nil)
	}
	return o.best
}

// ways is about how many calendars the oracle would have to look at.
func (o *oracle) ways() int {
	ways := 1
	for i, g := range o.p.Groups {
		for n := range g.Bonds {
			ways *= max(1, len(o.places(part{i, 1}))/(n+1))
		}
	}
	return ways
}

// places lists every place of a part by itself, once.
func (o *oracle) places(p part) []lot {
	if o.known[p] == nil {
		o.known[p] = o.lots(p, nil)
	}
	return o.known[p]
}

// spend leaves only a part of every tolerance.
func spend(p Problem, quarters int) Problem {
	p.Groups = slices.Clone(p.Groups)
	for i := range p.Groups {
		p.Groups[i].Intervals = slices.Clone(p.Groups[i].Intervals)
		for j := range p.Groups[i].Intervals {
			planned := &p.Groups[i].Intervals[j].Planned
			planned.Early = planned.Early * time.Duration(quarters) / 4
			planned.Late = planned.Late * time.Duration(quarters) / 4
		}
	}
	return p
}

// A part is a sitting that has no place yet.
type part struct{ group, bonds int }

func (o *oracle) divisions() [][]part {
	all := [][]part{nil}
	for i, g := range o.p.Groups {
		var longer [][]part
		for _, head := range all {
			for _, sizes := range compositions(g.Bonds) {
				d := slices.Clone(head)
				for _, n := range sizes {
					d = append(d, part{i, n})
				}
				longer = append(longer, d)
			}
		}
		all = longer
	}
	slices.SortStableFunc(all, func(a, b []part) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		for i := range a {
			if a[i].bonds != b[i].bonds {
				return b[i].bonds - a[i].bonds
			}
		}
		return 0
	})
	return all
}

func compositions(n int) [][]int {
	if n == 0 {
		return [][]int{nil}
	}
	var all [][]int
	for first := 1; first <= n; first++ {
		for _, rest := range compositions(n - first) {
			all = append(all, append([]int{first}, rest...))
		}
	}
	return all
}

// place gives the next part every place there is.
func (o *oracle) place(rest []part, done []lot) {
	if len(rest) == 0 {
		o.weigh(done)
		return
	}
	for _, l := range o.places(rest[0]) {
		if o.best != nil && l.tasks[len(l.tasks)-1].To.After(o.best.Last) {
			continue
		}
		last := len(done) - 1
		if last >= 0 && done[last].group == l.group && !done[last].begins().Before(l.begins()) {
			continue
		}
		if longer := append(slices.Clone(done), l); o.together(longer) {
			o.place(rest[1:], longer)
		}
	}
}

func clash(a, b lot) bool {
	for _, s := range a.tasks {
		for _, t := range b.tasks {
			if s.From.Before(t.To) && t.From.Before(s.To) {
				return true
			}
		}
	}
	return false
}

// together reports whether the last sitting gets on with those before it.
func (o *oracle) together(lots []lot) bool {
	last := len(lots) - 1
	if slices.ContainsFunc(lots[:last], func(other lot) bool { return clash(other, lots[last]) }) {
		return false
	}
	v := verifier{p: o.p, bonds: map[string][]bond{}}
	for i, l := range lots {
		tasks := slices.Clone(l.tasks)
		for j := range tasks {
			tasks[j].Sitting = i
		}
		v.follow(tasks)
	}
	v.clamps()
	for _, b := range v.bonds[o.p.Groups[lots[last].group].Key] {
		for _, iv := range b.group.Intervals {
			if iv.Planned.Kind == schedule.AsPartner {
				v.partners(b, iv)
			}
		}
	}
	return len(v.found) == 0
}

// lots lists every place of a part by itself, soonest first; each step but the
// break has a place of its own, and the break belongs to the lift-out if there
// is one.
func (o *oracle) lots(p part, done []Task) []lot {
	g := o.p.Groups[p.group]
	steps := map[schedule.Stage]bool{}
	for _, t := range done {
		steps[t.Stage] = true
	}
	i := slices.IndexFunc(g.Steps, func(s Step) bool { return !steps[s.Stage] })
	if i < 0 {
		return []lot{{p.group, done}}
	}
	var all []lot
	for _, at := range o.slots {
		if len(done) == 0 && at.After(o.p.Start.Add(o.p.Spread)) || len(done) > 0 && at.Before(done[len(done)-1].To) {
			continue
		}
		next := turns(g, i, p.bonds, at)
		if o.alone(g, p.bonds, done, next) {
			all = append(all, o.lots(p, append(slices.Clone(done), next...))...)
		}
	}
	return all
}

// turns does a step on n bonds, or lift-outs and breaks in the largest turns
// in which nobody waits too long.
func turns(g Group, step, n int, at time.Time) []Task {
	task := func(i, bonds int, at time.Time) Task {
		s := g.Steps[i]
		return Task{g.Key, s.Stage, s.Bath, 1, bonds, at, at.Add(time.Duration(bonds) * s.Hands)}
	}
	if g.Steps[step].Stage != schedule.LiftOut {
		return []Task{task(step, n, at)}
	}
	limit := g.Intervals[slices.IndexFunc(g.Intervals, func(iv schedule.Interval) bool { return iv.Name == "wet hold" })].Planned.Length
	turn := n
	for ; turn > 1; turn-- {
		lift, hit := g.Steps[step].Hands, g.Steps[step+1].Hands
		if time.Duration(turn)*hit <= limit && time.Duration(turn-1)*lift+hit <= limit {
			break
		}
	}
	var tasks []Task
	for left := n; left > 0; left -= turn {
		m := min(turn, left)
		lift := task(step, m, at)
		hit := task(step+1, m, lift.To)
		tasks, at = append(tasks, lift, hit), hit.To
	}
	return tasks
}

// alone reports whether the next tasks of one sitting keep what they can keep
// alone: hours, pot life and the intervals that they end.
func (o *oracle) alone(g Group, bonds int, done, next []Task) bool {
	g.Bonds = bonds
	v := verifier{p: o.p, bonds: map[string][]bond{}}
	v.p.Groups = []Group{g}
	for _, t := range next { // the shop is shut for longer than any task takes
		if !v.manned(t.From) || !v.manned(t.To.Add(-1)) {
			return false
		}
	}
	v.follow(append(slices.Clone(done), next...))
	for _, b := range v.bonds[g.Key] {
		for _, iv := range g.Intervals {
			from, to := b.ends(iv)
			if iv.Planned.Kind == schedule.AsPartner || to.IsZero() {
				continue
			}
			if _, _, verdict := iv.Planned.Judge(schedule.At(from), schedule.At(to)); verdict.Outside() {
				return false
			}
		}
	}
	v.pots(g, v.bonds[g.Key])
	return len(v.found) == 0
}

// weigh keeps a calendar that keeps every limit and is better than the best.
func (o *oracle) weigh(lots []lot) {
	byBegin := slices.Clone(lots)
	slices.SortStableFunc(byBegin, func(a, b lot) int { return a.begins().Compare(b.begins()) })
	c := Calendar{Sittings: len(lots), Quarters: o.quarters}
	for i, l := range byBegin {
		for _, t := range l.tasks {
			t.Sitting = i + 1
			c.Tasks = append(c.Tasks, t)
			if t.To.After(c.Last) {
				c.Last = t.To
			}
		}
	}
	if o.best != nil && (c.Last.After(o.best.Last) || c.Last.Equal(o.best.Last) && c.Sittings >= o.best.Sittings) {
		return
	}
	slices.SortStableFunc(c.Tasks, func(a, b Task) int { return a.From.Compare(b.From) })
	if len(verify(o.p, c)) == 0 {
		o.best = &c
	}
}
