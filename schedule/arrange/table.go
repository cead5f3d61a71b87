package arrange

// A column says of every slot at which a block could begin when its sitting
// could be through all of its steps at the earliest; never where it could not.
type column struct {
	first int // the slot of ends[0]
	ends  []int
}

// at is the earliest end when the block begins at a slot.
func (c column) at(slot int) int {
	if i := slot - c.first; i >= 0 && i < len(c.ends) {
		return c.ends[i]
	}
	return never
}

// A table has a column for each block of a sitting.
type table []column

// soonest is the earliest end there is.
func (t table) soonest() int {
	best := never
	for _, end := range t[0].ends {
		best = min(best, end)
	}
	return best
}

// table looks back from the last block to the first: a block can begin
// where it fits and the next one can begin within its window. Hands that are
// busy are in nobody's way when none are given. Limits between blocks that are
// not neighbours are left out, so it promises too much and never too little.
func (m *model) table(sh *shape, chain []window, busy []span) table {
	t := make(table, len(sh.length))
	from := m.glue
	for b := range t {
		if b > 0 {
			from = span{from.from + chain[b-1].lo, from.to + chain[b-1].hi}
		}
		t[b] = m.column(from, sh.length[b], busy)
	}
	for b := len(t) - 2; b >= 0; b-- {
		m.pull(t[b], t[b+1], chain[b])
	}
	return t
}

// column marks where a block of some length fits between openings and hands.
func (m *model) column(in span, length int, busy []span) column {
	first, last := m.after(in.from), m.after(in.to+1)
	c := column{first, make([]int, max(0, last-first))}
	next := 0 // of busy: the first that ends after the slot
	for i := range c.ends {
		s := m.slots[first+i]
		for next < len(busy) && busy[next].to <= s.at {
			next++
		}
		c.ends[i] = s.at + length
		if c.ends[i] > s.shut || next < len(busy) && busy[next].from < c.ends[i] {
			c.ends[i] = never
		}
	}
	return c
}

// pull replaces each end by the least of the next column's within the window.
// Both ends of the window only move forward, so it takes one pass.
func (m *model) pull(c, next column, w window) {
	var queue []int // slots of next, their ends rising
	add := next.first
	for i := range c.ends {
		at := m.slots[c.first+i].at
		for add < next.first+len(next.ends) && m.slots[add].at <= at+w.hi {
			for len(queue) > 0 && next.at(queue[len(queue)-1]) >= next.at(add) {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, add)
			add++
		}
		for len(queue) > 0 && m.slots[queue[0]].at < at+w.lo {
			queue = queue[1:]
		}
		if c.ends[i] == never {
			continue
		}
		c.ends[i] = never
		if len(queue) > 0 {
			c.ends[i] = next.at(queue[0])
		}
	}
}
