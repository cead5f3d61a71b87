package arrange

import "slices"

// least is an end that no calendar of the division can come before.
func (e *exact) least() int { return max(e.leastWork(), e.leastGlue(), e.leastClamps()) }

// leastWork goes by the last blocks alone: they need hands one after the other,
// and none before it can be reached. A block keeps the hands until the next
// instant of the grid, the last of all as long as it takes. Work that could be
// broken off whenever a block becomes ready would not be done sooner than work
// in the order in which they become ready.
func (e *exact) leastWork() int {
	type job struct{ ready, length int }
	var jobs []job
	spare := 0
	for i, s := range e.todo {
		length := s.length[len(s.length)-1]
		whole := e.m.onGrid(length)
		jobs = append(jobs, job{e.tables[i].soonest() - length, whole})
		spare = max(spare, whole-length)
	}
	slices.SortFunc(jobs, func(a, b job) int { return a.ready - b.ready })
	end := 0
	for _, j := range jobs {
		end = e.m.work(max(end, j.ready), j.length)
	}
	return end - spare
}

// leastGlue goes by the first blocks: whichever sitting is glued last, hands
// were busy with all others before.
func (e *exact) leastGlue() int {
	all, best := 0, never
	for _, s := range e.todo {
		all += e.m.onGrid(s.length[0])
	}
	for i, s := range e.todo {
		glue := e.tables[i][0]
		from := e.m.work(e.m.glue.from, all-e.m.onGrid(s.length[0]))
		for slot := max(glue.first, e.m.after(from)); slot < glue.first+len(glue.ends); slot++ {
			best = min(best, glue.at(slot))
		}
	}
	return best
}

// onGrid is the next multiple of the grid.
func (m *model) onGrid(n int) int { return (n + m.grid - 1) / m.grid * m.grid }

// work is when work that can be broken off ends, if it goes on in all openings
// after an instant.
func (m *model) work(from, length int) int {
	for _, o := range m.open {
		from := max(m.onGrid(o.from), from)
		room := m.onGrid(o.to) - from
		if room >= 0 && room >= length {
			return from + length
		}
		length -= max(0, room)
	}
	return never
}

// leastClamps goes by the clamps alone. With c of them, a bond has to wait
// for the first removal when c are glued; one has to wait for the removal of
// a bond that waited itself when 2 c are glued; and so on. Those that wait
// longest need hands for their last blocks.
func (e *exact) leastClamps() int {
	bonds, each := 0, never
	for _, s := range e.todo {
		if s.clamped > 0 {
			bonds += s.n
			each = min(each, s.length[len(s.length)-1]/s.n)
		}
	}
	if e.m.p.Clamps == 0 || bonds <= e.m.p.Clamps {
		return 0
	}
	last, left := e.lastGlued(bonds)
	ready := e.leastClamped(last, func(s sitting, _, end int) int { return end - s.length[len(s.length)-1] })
	return e.m.work(ready, left*each)
}

// lastGlued is before when the bonds that wait longest for clamps cannot be
// glued, and how many they are.
func (e *exact) lastGlued(bonds int) (at, left int) {
	for ; bonds > e.m.p.Clamps; bonds -= e.m.p.Clamps {
		at = e.leastClamped(at, sitting.unclampedAfter)
	}
	return at, bonds
}

// outOfClamps reports whether clamps cannot come back soon enough for all bonds
// to be glued in time, in sittings of whatever size: another proof that there
// is no calendar. Of very many sizes it does not know.
func (m *model) outOfClamps() bool {
	e, bonds := newExact(m, 0), 0
	for i, g := range m.groups {
		if g.clamped() {
			bonds += g.Bonds
			e.sizes(i, g)
		}
	}
	if m.p.Clamps == 0 || bonds <= m.p.Clamps || len(e.todo) > sizesProven {
		return false
	}
	for _, s := range e.todo {
		e.tables = append(e.tables, m.table(s.shape, s.chain, nil))
	}
	last, _ := e.lastGlued(bonds)
	return e.leastClamped(last, func(_ sitting, _, end int) int { return end }) == never
}

// unclampedAfter is the soonest that the clamps come off what is glued at an
// instant.
func (s sitting) unclampedAfter(at, _ int) int {
	for _, w := range s.chain[:s.clamped] {
		at += w.lo
	}
	return at
}

// leastClamped is the least of what any sitting with clamps, glued at or after
// an instant, leads to.
func (e *exact) leastClamped(after int, leads func(s sitting, at, end int) int) int {
	best := never
	for i, s := range e.todo {
		if s.clamped == 0 {
			continue
		}
		glue := e.tables[i][0]
		for slot := max(glue.first, e.m.after(after)); slot < glue.first+len(glue.ends); slot++ {
			if end := glue.at(slot); end < e.bound {
				best = min(best, leads(s, e.m.slots[slot].at, end))
			}
		}
	}
	return best
}

// aged is the chain of a sitting, with what the youngest of the partners that
// have a table already can be at least.
func (e *exact) aged(sh *shape) []window {
	chain := slices.Clone(sh.chain)
	for _, a := range sh.g.ages {
		from, to := sh.g.block[a.from], sh.g.block[a.to]
		if to != from+1 {
			continue
		}
		lo, _ := sh.apart(a.from, a.to)
		if youngest := e.youngest(sh.g.follows, a); youngest < never {
			chain[from].lo = max(chain[from].lo, e.m.agedBy(a, window{youngest, youngest}).lo-lo)
		}
	}
	return chain
}

// youngest is an age that every bond of a group has at least; never when that
// is not known.
func (e *exact) youngest(group int, a age) int {
	youngest := never
	for i, s := range e.todo {
		if s.group != group {
			continue
		}
		from, to := s.g.block[a.ofFrom], s.g.block[a.ofTo]
		if to != len(s.length)-1 || from >= to {
			return never
		}
		lo, _ := s.apart(a.ofFrom, a.ofTo)
		for j, end := range e.tables[i][from].ends {
			if end < e.bound {
				youngest = min(youngest, end-s.length[to]-e.m.slots[e.tables[i][from].first+j].at+lo)
			}
		}
	}
	return youngest
}

// sizesProven is how many sizes of sittings a proof looks at.
const sizesProven = 24

// sizes puts a sitting of every size that a group can have into todo.
func (e *exact) sizes(i int, g *group) {
	for n := 1; n <= g.Bonds && len(e.todo) <= sizesProven && !g.shape(n).tooLarge; n++ {
		if sh := g.shape(n); sh.fits {
			e.todo = append(e.todo, sitting{shape: sh, group: i})
		}
	}
}
