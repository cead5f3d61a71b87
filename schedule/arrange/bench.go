package arrange

import (
	"slices"
	"time"
)

// A sitting is one that has its place, or is about to get it.
type sitting struct {
	*shape
	group  int   // its place in model.groups
	starts []int // of its blocks, as far as they are known
}

// ends is when its last block ends.
func (s sitting) ends() int { return s.starts[len(s.starts)-1] + s.length[len(s.length)-1] }

// glued is when its last bond is under pressure.
func (s sitting) glued() int { return s.starts[0] + s.length[0] }

// A bench is what stands on the calendar so far.
type bench struct {
	m        *model
	sittings []sitting // in the order of groups
	busy     []span    // hands, soonest first; none overlap
}

// occupy marks hands as busy.
func (b *bench) occupy(s span) {
	b.busy = slices.Insert(b.busy, b.busyAfter(s), s)
}

// release takes back what occupy marked.
func (b *bench) release(s span) {
	i := slices.Index(b.busy, s)
	b.busy = slices.Delete(b.busy, i, i+1)
}

// busyAfter is the place of s among the busy spans.
func (b *bench) busyAfter(s span) int {
	i, _ := slices.BinarySearchFunc(b.busy, s, func(a, b span) int {
		if a.from != b.from {
			return a.from - b.from
		}
		return a.to - b.to
	})
	return i
}

// free reports whether nobody's hands are needed elsewhere. What takes no time
// may stand at the end of something, but not in its middle.
func (b *bench) free(s span) bool {
	i := b.busyAfter(s)
	for _, j := range []int{i - 1, i, i + 1} {
		if j >= 0 && j < len(b.busy) && b.busy[j].from < s.to && s.from < b.busy[j].to {
			return false
		}
	}
	return true
}

// add puts a whole sitting on the calendar.
func (b *bench) add(s sitting) {
	b.sittings = append(b.sittings, s)
	for i, at := range s.starts {
		b.occupy(span{at, at + s.length[i]})
	}
}

// clampsAt counts the bonds under pressure just before an instant, at which no
// other work is going on.
func (b *bench) clampsAt(at int) int {
	used := 0
	for _, s := range b.sittings {
		if s.clamped > 0 && s.starts[0] < at && s.starts[s.clamped] >= at {
			used += s.n
		}
	}
	return used
}

// held counts the clamps that are on bonds glued before the calendar begins, when
// a glue-up begins at an instant.
func (m *model) held(at int) (n int) {
	for _, until := range m.p.Held {
		if until.Unix() > int64(at) {
			n++
		}
	}
	return n
}

// clampsUntil says until when at the latest a sitting glued in a span may keep
// its clamps: until the end of the next glue-up that needs some of them. It is
// false when there are not enough to begin with. No clamps are given back while
// something is glued, so most are in use at the end of a glue-up.
func (b *bench) clampsUntil(sh *shape, glue span) (int, bool) {
	if b.m.p.Clamps == 0 || sh.clamped == 0 {
		return never, true
	}
	if b.clampsAt(glue.to)+b.m.held(glue.from)+sh.n > b.m.p.Clamps {
		return 0, false
	}
	until := never
	for _, s := range b.sittings {
		if at := s.glued(); s.clamped > 0 && at > glue.to && at <= until && b.clampsAt(at)+b.m.held(s.starts[0])+sh.n > b.m.p.Clamps {
			until = at - 1
		}
	}
	return until, true
}

// ageLinks are what the sittings of the followed group demand of one that
// follows.
func (b *bench) ageLinks(sh *shape) []link {
	var links []link
	for _, a := range sh.g.ages {
		partners := window{never, -never}
		for _, s := range b.sittings {
			if s.group == sh.g.follows {
				w := s.age(a.ofFrom, a.ofTo)
				partners = window{min(partners.lo, w.lo), max(partners.hi, w.hi)}
			}
		}
		from, to := sh.g.block[a.from], sh.g.block[a.to]
		lo, hi := sh.apart(a.from, a.to)
		w := b.m.agedBy(a, partners)
		links = append(links, link{from, to, window{w.lo - lo, w.hi - hi}})
	}
	return links
}

// age is the least and the most that lies between two steps of its bonds.
func (s sitting) age(from, to int) window {
	lo, hi := s.apart(from, to)
	between := s.starts[s.g.block[to]] - s.starts[s.g.block[from]]
	return window{between + lo, between + hi}
}

// last is when everything is done.
func (b *bench) last() int {
	end := 0
	for _, s := range b.sittings {
		end = max(end, s.ends())
	}
	return end
}

// better reports whether b comes before another in the order of the package
// comment, as far as a search of single places can tell.
func (b *bench) better(other *bench) bool {
	if other == nil || b.last() != other.last() {
		return other == nil || b.last() < other.last()
	}
	return len(b.sittings) < len(other.sittings)
}

// calendar writes the bench for people.
func (b *bench) calendar() Calendar {
	sittings := slices.Clone(b.sittings)
	slices.SortStableFunc(sittings, func(a, b sitting) int { return a.starts[0] - b.starts[0] })
	c := Calendar{Sittings: len(sittings), Last: b.m.instant(b.last()), Quarters: b.m.quarters}
	for i, s := range sittings {
		for at, block := range s.g.blocks {
			c.Tasks = append(c.Tasks, s.tasks(block, s.starts[at], i+1)...)
		}
	}
	slices.SortStableFunc(c.Tasks, func(a, b Task) int { return a.From.Compare(b.From) })
	return c
}

func (m *model) instant(at int) time.Time { return time.Unix(int64(at), 0).In(m.p.Zone) }

// tasks are the turns of a block, step by step.
func (s sitting) tasks(b block, at, number int) []Task {
	var tasks []Task
	turn := min(b.turn, s.n)
	for done := 0; done < s.n; done += turn {
		bonds := min(turn, s.n-done)
		for j, hands := range b.hands {
			step := s.g.Steps[b.first+j]
			end := at + bonds*hands
			tasks = append(tasks, Task{s.g.Key, step.Stage, step.Bath, number, bonds, s.g.m.instant(at), s.g.m.instant(end)})
			at = end
		}
	}
	return tasks
}
