package arrange

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// A block is one or more steps that are done in one go: those between which
// there is no time to go away.
type block struct {
	first int   // its first step
	hands []int // seconds for each bond, step by step
	turn  int   // bonds that are taken together through all of its steps
}

// blocksOf puts steps together that a short upper limit binds, and says
// which block each step is in. The clamps stand between glue-up and clamp
// removal, so these two are never one.
func blocksOf(g Group) (blocks []block, of []int) {
	for i, step := range g.Steps {
		limit, bound := g.bound(i)
		if !bound {
			blocks = append(blocks, block{first: i, turn: g.Bonds})
		}
		b := &blocks[len(blocks)-1]
		b.hands = append(b.hands, int(step.Hands/time.Second))
		if bound {
			b.turn = min(b.turn, together(limit, g.Steps[i-1].Hands, step.Hands))
		}
		of = append(of, len(blocks)-1)
	}
	return blocks, of
}

// bound gives the upper limit that binds a step to the one before it.
func (g Group) bound(i int) (limit time.Duration, ok bool) {
	for _, iv := range g.Intervals {
		short := iv.Planned.Kind == schedule.AtMost && iv.Planned.Length < oneTurn
		if short && i > 1 && g.step(iv.From) == i-1 && g.step(iv.To) == i {
			if !ok || iv.Planned.Length < limit {
				limit, ok = iv.Planned.Length, true
			}
		}
	}
	return limit, ok
}

// together is how many bonds can be taken together through two steps when
// none may wait longer than the limit between them. Of m lifted in a row and
// then broken in a row, the first waits for the others to be lifted and the
// last for the others to be broken:
//
//	wait = max(m * second, (m - 1) * first + second)
//
// It is 0 when even one alone waits too long, for its second step takes longer.
func together(limit, first, second time.Duration) int {
	m := most
	if second > 0 {
		m = min(m, int(limit/second))
	}
	if limit < second {
		return 0
	}
	if first > 0 {
		m = min(m, 1+int((limit-second)/first))
	}
	return m
}

// at is when step j of the block has happened to bond k of n (from 1), in
// seconds after the block began.
func (b block) at(j, k, n int) int {
	turn := min(b.turn, n)
	done := (k - 1) / turn * turn
	size := min(turn, n-done)
	at := done*b.each() + (k-done)*b.hands[j]
	for _, hands := range b.hands[:j] {
		at += size * hands
	}
	return at
}

// each is how long the whole block takes for one bond.
func (b block) each() (sum int) {
	for _, hands := range b.hands {
		sum += hands
	}
	return sum
}

// A link is the window between the beginnings of two blocks.
type link struct {
	from, to int
	window
}

// A shape is what a sitting of one size of a group demands.
type shape struct {
	g        *group
	n        int
	fits     bool     // false when no sitting of this size can be
	tooLarge bool     // nor of any larger size
	length   []int    // of each block
	links    []link   // all of them
	chain    []window // those between a block and the next
	clamped  int      // the block that gives the clamps back; 0 when there are none
}

// shape works a sitting of n bonds out, once.
func (g *group) shape(n int) *shape {
	if sh := g.shapes[n]; sh != nil {
		return sh
	}
	sh := &shape{g: g, n: n, tooLarge: g.tooLarge(n)}
	g.shapes[n] = sh
	if sh.fits = !sh.tooLarge; !sh.fits {
		return sh
	}
	for i, b := range g.blocks {
		sh.length = append(sh.length, n*b.each())
		if i > 0 {
			sh.links = append(sh.links, link{i - 1, i, window{sh.length[i-1], never}})
		}
	}
	if g.clamped() {
		sh.clamped = g.block[g.step(schedule.ClampRemoval)]
	}
	for _, l := range g.limits {
		sh.add(l)
	}
	sh.neighbours()
	return sh
}

// tooLarge reports whether n bonds are too many for one sitting: for the pot,
// the clamps, the hours or a wait. More bonds are then too many as well.
func (g *group) tooLarge(n int) bool {
	if g.PotLife > 0 && time.Duration(n)*g.Steps[0].Hands > g.PotLife {
		return true
	}
	if g.clamped() && g.m.p.Clamps > 0 && n > g.m.p.Clamps {
		return true
	}
	return slices.ContainsFunc(g.blocks, func(b block) bool {
		return b.turn == 0 || n*b.each() > g.m.longest
	})
}

// add turns a limit on every bond into one between blocks; one inside a block
// holds or does not.
func (sh *shape) add(l limit) {
	from, to := sh.g.block[l.from], sh.g.block[l.to]
	lo, hi := sh.apart(l.from, l.to)
	if from == to {
		sh.fits = sh.fits && l.lo <= lo && hi <= l.hi
		return
	}
	sh.links = append(sh.links, link{from, to, window{l.lo - lo, l.hi - hi}})
}

// apart is how much longer than between their blocks the time between two
// steps is: for the bond for which it is least, and for that for which it is most.
func (sh *shape) apart(from, to int) (lo, hi int) {
	lo, hi = never, -never
	a, b := sh.g.blocks[sh.g.block[from]], sh.g.blocks[sh.g.block[to]]
	for k := 1; k <= sh.n; k++ {
		d := b.at(to-b.first, k, sh.n) - a.at(from-a.first, k, sh.n)
		lo, hi = min(lo, d), max(hi, d)
	}
	return lo, hi
}

// neighbours collects the windows from block to block.
func (sh *shape) neighbours() {
	sh.chain = make([]window, len(sh.length)-1)
	for b := range sh.chain {
		sh.chain[b] = window{0, never}
		for _, l := range sh.links {
			if l.from == b && l.to == b+1 {
				sh.chain[b] = sh.chain[b].and(l.window)
			}
		}
		if sh.chain[b].hi >= never/2 {
			sh.chain[b].hi = sh.chain[b].lo + int(beyond/time.Second)
		}
		sh.fits = sh.fits && sh.chain[b].lo <= sh.chain[b].hi
	}
}
