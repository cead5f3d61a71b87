package arrange

import "slices"

// How much is looked at before a study counts as too large to be searched through.
const (
	mostBonds     = 64      // in the study
	mostDivisions = 4096    // ways to divide the bonds into sittings
	mostLooks     = 3000000 // places looked at for a block
	fewLooks      = 300000  // the same where any calendar will do
)

// feasible is any bench at all, nil when none was found after a number of looks,
// and whether that is proven.
func (m *model) feasible(looks int) (*bench, bool) {
	if m.impossible() {
		return nil, true
	}
	if quick := m.hasty(); quick != nil {
		return quick, true
	}
	if looks == mostLooks {
		if quick := m.greedy(); quick != nil {
			return quick, true
		}
	}
	e := newExact(m, looks)
	divisions, ok := m.divisions()
	for _, d := range divisions {
		if e.found == nil && e.looks <= looks {
			e.search(d)
		}
	}
	return e.found, ok && e.looks <= looks
}

// best is the best bench for a part of the tolerances, nil when none was found,
// and whether that is proven.
func (m *model) best() (*bench, bool) {
	quick := m.greedy()
	e := newExact(m, mostLooks)
	if quick != nil {
		e.bound = quick.last() + 1
	}
	divisions, ok := m.divisions()
	if !ok {
		return quick, quick == nil && m.impossible()
	}
	for _, d := range divisions {
		if e.looks <= e.most {
			e.search(d)
		}
	}
	if e.looks > e.most {
		if e.found == nil || quick != nil && quick.better(e.found) {
			return quick, false
		}
		return e.found, false
	}
	return e.found, true
}

// An exact search goes through all calendars whose end could come before that
// of the best found so far. It visits them in the order in which the best of
// those that end together is to be found, so a later one must end sooner.
type exact struct {
	bench
	bound int // the end must come before it
	found *bench
	looks int
	most  int // looks

	floor  int       // no calendar of the division ends before it
	todo   []sitting // the division that is being searched
	tables []table   // for each of todo
	known  map[tableKey]table
	first  bool // something is glued on the first day
}

func newExact(m *model, looks int) exact {
	return exact{bench: bench{m: m}, bound: never, most: looks, known: map[tableKey]table{}}
}

// search goes through one way to divide the bonds into sittings.
func (e *exact) search(division []*shape) {
	e.todo, e.tables = e.todo[:0], e.tables[:0]
	for _, sh := range division {
		s := sitting{shape: sh, group: slices.Index(e.m.groups, sh.g)}
		t := e.table(sh)
		if t.soonest() >= e.bound {
			return
		}
		e.todo = append(e.todo, s)
		e.tables = append(e.tables, t)
	}
	if e.floor = e.least(); e.floor < e.bound {
		e.sitting(0)
	}
}

// A tableKey tells tables of one search apart: by the shape and by what the
// partners' ages add to its limits.
type tableKey struct {
	sh *shape
	lo int
}

// table is the table of a shape, worked out once.
func (e *exact) table(sh *shape) table {
	chain, key := e.aged(sh), tableKey{sh: sh}
	if len(sh.g.ages) > 1 {
		return e.m.table(sh, chain, nil)
	}
	for _, w := range chain {
		key.lo += w.lo
	}
	t, ok := e.known[key]
	if !ok {
		t = e.m.table(sh, chain, nil)
		e.known[key] = t
	}
	return t
}

// sitting places one after the other; when all have their place, that is a
// calendar better than any before.
func (e *exact) sitting(i int) {
	if i == len(e.todo) {
		e.bound = e.last()
		e.found = &bench{e.m, slices.Clone(e.sittings), nil}
		return
	}
	s := e.todo[i]
	s.starts = make([]int, 0, len(s.length))
	e.block(i, s, append(e.ageLinks(s.shape), s.links...), never)
}

// block tries every place for the next block of a sitting, soonest first.
func (e *exact) block(i int, s sitting, links []link, clamps int) {
	b := len(s.starts)
	if b == len(s.length) {
		e.keep(i, s)
		return
	}
	w := e.window(i, s, links)
	if b == s.clamped && b > 0 {
		w.hi = min(w.hi, clamps)
	}
	placed, latest := e.last(), min(w.hi, e.bound-s.length[b]-1)
	for j := e.m.after(w.lo); j < len(e.m.slots) && e.m.slots[j].at <= latest && !e.over(); j++ {
		e.looks++
		if max(placed, e.tables[i][b].at(j)) >= e.bound {
			continue
		}
		e.try(i, s, links, clamps, span{e.m.slots[j].at, e.m.slots[j].at + s.length[b]})
	}
}

// over reports whether there is nothing more to find, or no more looks.
func (e *exact) over() bool { return e.looks > e.most || e.bound <= e.floor }

// try puts the next block of a sitting at a place, if hands and clamps are free,
// and goes on from there.
func (e *exact) try(i int, s sitting, links []link, clamps int, at span) {
	if !e.free(at) {
		return
	}
	if len(s.starts) == 0 {
		var ok bool
		if clamps, ok = e.clampsUntil(s.shape, at); !ok {
			return
		}
	}
	e.occupy(at)
	s.starts = append(s.starts, at.from)
	e.block(i, s, links, clamps)
	e.release(at)
}

// keep takes a sitting that has all of its places and goes on with the next.
func (e *exact) keep(i int, s sitting) {
	s.starts = slices.Clone(s.starts)
	before := e.first
	e.first = e.first || s.starts[0] < e.m.dayEnds
	e.sittings = append(e.sittings, s)
	e.sitting(i + 1)
	e.sittings = e.sittings[:i]
	e.first = before
}

// window is where the next block of a sitting can begin. Sittings of one group
// are alike but for their size, so they come one after the other; and the
// last of all must be on the first day if none was.
func (e *exact) window(i int, s sitting, links []link) window {
	b := len(s.starts)
	if b > 0 {
		return within(s.starts, links)
	}
	w := window{e.m.glue.from, e.m.glue.to}
	if i > 0 && e.todo[i-1].group == s.group {
		w.lo = e.sittings[i-1].starts[0] + 1
	}
	if i == len(e.todo)-1 && !e.first {
		w.hi = min(w.hi, e.m.dayEnds-1)
	}
	return w
}

// within is where the block after those begun can begin.
func within(starts []int, links []link) window {
	w := window{0, never}
	for _, l := range links {
		if l.to == len(starts) {
			w = w.and(window{starts[l.from] + l.lo, starts[l.from] + l.hi})
		}
	}
	return w
}

// divisions lists the ways to divide the bonds into sittings: fewest sittings
// first, then the larger first. It is false when there are too many.
func (m *model) divisions() ([][]*shape, bool) {
	all, bonds := [][]*shape{nil}, 0
	for _, g := range m.groups {
		if bonds += g.Bonds; bonds > mostBonds {
			return nil, false
		}
		var longer [][]*shape
		for _, head := range all {
			for _, tail := range g.divisions(g.Bonds, mostDivisions) {
				longer = append(longer, append(slices.Clone(head), tail...))
			}
			if len(longer) > mostDivisions {
				return nil, false
			}
		}
		all = longer
	}
	slices.SortStableFunc(all, func(a, b []*shape) int { return len(a) - len(b) })
	return all, true
}

// divisions lists the ways to divide n bonds of a group, the larger first,
// until there are too many.
func (g *group) divisions(n, room int) [][]*shape {
	if n == 0 {
		return [][]*shape{nil}
	}
	var all [][]*shape
	for size := n; size >= 1 && len(all) <= room; size-- {
		if sh := g.shape(size); sh.fits {
			for _, tail := range g.divisions(n-size, room-len(all)) {
				all = append(all, append([]*shape{sh}, tail...))
			}
		}
	}
	return all
}
