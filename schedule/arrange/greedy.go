package arrange

import (
	"slices"
	"sort"
)

// How often the order of groups is changed when one finds no place: when the
// best calendar is wanted, and when a change of the problem is only weighed.
const (
	mostTries = 6
	fewTries  = 3
)

// mostEnds is how many different places of the glue-up are tried for a sitting.
const mostEnds = 40

// mostDescents is how many places of later blocks are looked at for each.
const mostDescents = 3000

// A policy says into how many sittings a group is divided: as few as can be,
// and some more. With fill a sitting is made smaller where fewer clamps are free.
// With early it is glued as soon as it can be, whenever it ends.
type policy struct {
	more  int
	fill  bool
	early bool
}

// greedy places one sitting after the other where its last step ends soonest,
// under several policies, and returns the best bench, nil when it found none.
func (m *model) greedy() *bench {
	var best *bench
	for _, p := range []policy{{}, {fill: true}, {more: 1}, {more: 3}} {
		if b := m.arrange(p, mostTries); b != nil && b.better(best) {
			best = b
		}
	}
	return best
}

// inTurn places one sitting after the other where it can be glued soonest, so that
// the order of the groups becomes that of the work; nil when it found no bench.
func (m *model) inTurn() *bench {
	for _, p := range []policy{{early: true}, {early: true, fill: true}} {
		if b := m.arrange(p, mostTries); b != nil {
			return b
		}
	}
	return nil
}

// hasty is the first bench that comes, nil when none does soon.
func (m *model) hasty() *bench {
	if b := m.arrange(policy{}, fewTries); b != nil {
		return b
	}
	return m.arrange(policy{fill: true}, fewTries)
}

// arrange tries orders of the groups until one works: a group that found
// no place comes first the next time, for it is hardest to please.
func (m *model) arrange(p policy, tries int) *bench {
	order := m.leaders()
	for range tries {
		b, stuck := m.inOrder(order, p)
		if stuck < 0 {
			return b
		}
		at := slices.Index(order, stuck)
		if at == 0 { // it cannot even be first: let another make the start
			order = append(order[1:], order[0])
			continue
		}
		order = slices.Insert(slices.Delete(order, at, at+1), 0, stuck)
	}
	return nil
}

// leaders are the groups that follow none.
func (m *model) leaders() []int {
	var list []int
	for i, g := range m.groups {
		if g.follows < 0 {
			list = append(list, i)
		}
	}
	return list
}

// inOrder places each group and those that follow it. It returns the one that
// found no place, -1 when all have.
func (m *model) inOrder(order []int, p policy) (*bench, int) {
	b := &bench{m: m}
	for _, leader := range order {
		for i, g := range m.groups {
			if (i == leader || g.follows == leader) && !b.placeGroup(i, p) {
				return nil, leader
			}
		}
	}
	slices.SortStableFunc(b.sittings, func(x, y sitting) int { return x.group - y.group })
	return b, -1
}

// placeGroup divides a group into sittings and places them.
func (b *bench) placeGroup(i int, p policy) bool {
	g := b.m.groups[i]
	largest := g.largest()
	if largest == 0 {
		return false
	}
	left, count := g.Bonds, min(g.Bonds, (g.Bonds+largest-1)/largest+p.more)
	for ; left > 0; count-- {
		sizes := []int{min(largest, (left+max(1, count)-1)/max(1, count))}
		if p.fill {
			sizes = halves(min(left, largest))
		}
		s, ok := b.choose(g, i, sizes, p.early)
		if !ok {
			return false
		}
		b.add(s)
		left -= s.n
	}
	return true
}

// halves lists n, half of it, half of that and so on.
func halves(n int) []int {
	list := []int{n}
	for n > 1 {
		n = (n + 1) / 2
		list = append(list, n)
	}
	return list
}

// largest is the most bonds a sitting can have.
func (g *group) largest() int {
	return sort.Search(g.Bonds, func(n int) bool { return !g.shape(n + 1).fits })
}

// choose places the sitting of the size that can begin soonest, the largest of those.
func (b *bench) choose(g *group, i int, sizes []int, early bool) (sitting, bool) {
	var best sitting
	for _, n := range sizes {
		s, ok := b.place(g.shape(n), i, early)
		if ok && (best.shape == nil || s.starts[0] < best.starts[0]) {
			best = s
		}
	}
	return best, best.shape != nil
}

// A begin is a place for a glue-up, and the earliest end that it can lead to.
type begin struct{ slot, end, clamps int }

// place finds where a sitting ends soonest, and of those places the earliest; or
// where it can be glued first.
func (b *bench) place(sh *shape, group int, early bool) (sitting, bool) {
	links := append(b.ageLinks(sh), sh.links...)
	chain := slices.Clone(sh.chain)
	for _, l := range links {
		if l.to == l.from+1 {
			chain[l.from] = chain[l.from].and(l.window)
		}
	}
	t := b.m.table(sh, chain, b.busy)
	begins := b.begins(sh, t, chain, early)
	for i := range 2 * len(begins) {
		from := begins[i%len(begins)]
		if i >= len(begins) { // limits between distant blocks forbid the soonest ends
			from.end = never - 1
		}
		s := sitting{shape: sh, group: group, starts: make([]int, 0, len(sh.length))}
		s.starts = append(s.starts, b.m.slots[from.slot].at)
		if s.starts, _ = b.descend(t, s, links, from, mostDescents); s.starts != nil {
			return s, true
		}
	}
	return sitting{}, false
}

// begins lists places for the glue-up, best first. The first sitting of all is
// on the first day.
func (b *bench) begins(sh *shape, t table, chain []window, early bool) []begin {
	var list []begin
	for i, end := range t[0].ends {
		slot := t[0].first + i
		at := b.m.slots[slot].at
		if end == never || len(b.sittings) == 0 && at >= b.m.dayEnds {
			continue
		}
		until, ok := b.clampsUntil(sh, span{at, at + sh.length[0]})
		if ok && until < never && sh.clamped == 1 {
			end = t[1].least(b.m, window{at + chain[0].lo, min(at+chain[0].hi, until)})
		}
		if ok && end < never {
			list = append(list, begin{slot, end, until})
		}
	}
	if !early {
		slices.SortStableFunc(list, func(x, y begin) int { return x.end - y.end })
	}
	return list[:min(len(list), mostEnds)]
}

// least is the earliest end of a block that begins within a window.
func (c column) least(m *model, w window) int {
	best := never
	for slot := m.after(w.lo); slot < len(m.slots) && m.slots[slot].at <= w.hi; slot++ {
		best = min(best, c.at(slot))
	}
	return best
}

// descend gives each later block its earliest place that still leads to the
// end wanted; where limits between distant blocks forbid that, a later one. It
// gives up after a number of looks.
func (b *bench) descend(t table, s sitting, links []link, from begin, looks int) ([]int, int) {
	next := len(s.starts)
	if next == len(s.length) {
		return s.starts, looks
	}
	w := within(s.starts, links)
	if next == s.clamped {
		w.hi = min(w.hi, from.clamps)
	}
	for slot := b.m.after(w.lo); slot < len(b.m.slots) && b.m.slots[slot].at <= w.hi; slot++ {
		if looks--; looks < 0 {
			return nil, looks
		}
		if t[next].at(slot) > from.end {
			continue
		}
		longer := s
		longer.starts = append(s.starts, b.m.slots[slot].at)
		var found []int
		if found, looks = b.descend(t, longer, links, from, looks); found != nil {
			return found, looks
		}
	}
	return nil, looks
}
