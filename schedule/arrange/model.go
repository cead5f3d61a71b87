package arrange

import (
	"slices"
	"sort"
	"time"

	"soaktag/schedule"
)

const (
	never   = 1 << 50           // an instant, or a length, beyond all others
	beyond  = 28 * schedule.Day // how far past a lower limit a step is looked for
	oneTurn = 12 * time.Hour    // an upper limit below it is kept in one visit, by turns
)

// A model is a problem in seconds, with the part of the tolerances that a
// calendar may spend.
type model struct {
	p        Problem
	quarters int
	grid     int
	glue     span // the first glue-up of all begins here at the earliest, the last at the latest
	dayEnds  int  // the first glue-up of all begins before it
	slots    []slot
	open     []span
	longest  int      // opening
	groups   []*group // who is followed stands before who follows
}

// A window is the shortest and the longest an interval may be, in seconds.
type window struct{ lo, hi int }

func (w window) and(v window) window { return window{max(w.lo, v.lo), min(w.hi, v.hi)} }

// A limit is the window between two steps of every bond of a group.
type limit struct {
	from, to int // steps
	window
}

// A group is a Group in seconds.
type group struct {
	*Group
	m       *model
	blocks  []block
	block   []int // the block of each step
	limits  []limit
	ages    []age
	follows int // the place of the followed in model.groups, -1 when none
	shapes  map[int]*shape
}

// An age is an interval that must be as long as in every bond of the group
// that is followed.
type age struct {
	from, to     int // own steps
	ofFrom, ofTo int // the steps of the followed
	planned      schedule.Planned
}

// newModel turns a problem that was checked into seconds.
func newModel(p Problem, quarters int) *model {
	m := &model{p: p, quarters: quarters, grid: int(p.Grid / time.Second)}
	m.glue = span{ceilUnix(p.Start), int(p.Start.Add(p.Spread).Unix())}
	year, month, day := p.Start.In(p.Zone).Date()
	m.dayEnds = int(time.Date(year, month, day+1, 0, 0, 0, 0, p.Zone).Unix())
	m.readGroups()
	end := p.Start.Add(p.Spread + m.reach())
	m.open = openings(p, p.Start, end)
	m.longest = longestOpening(m.open)
	m.slots = slotsIn(m.open, m.grid, m.glue.from, int(end.Unix()))
	return m
}

// readGroups puts every group straight after the one that it follows.
func (m *model) readGroups() {
	for i := range m.p.Groups {
		if m.p.Groups[i].Follows != "" {
			continue
		}
		at := len(m.groups)
		m.groups = append(m.groups, m.newGroup(&m.p.Groups[i], -1))
		for j := range m.p.Groups {
			if m.p.Groups[j].Follows == m.p.Groups[i].Key {
				m.groups = append(m.groups, m.newGroup(&m.p.Groups[j], at))
			}
		}
	}
}

func (m *model) newGroup(g *Group, follows int) *group {
	n := &group{Group: g, m: m, follows: follows, shapes: map[int]*shape{}}
	n.blocks, n.block = blocksOf(*g)
	for _, iv := range g.Intervals {
		from, to := g.step(iv.From), g.step(iv.To)
		switch {
		case from < 0 || to < 0 || from == to || iv.Planned.Kind == schedule.None:
		case iv.Planned.Kind == schedule.AsPartner:
			n.addAge(iv, from, to)
		default:
			n.limits = append(n.limits, limit{from, to, m.window(iv.Planned)})
		}
	}
	return n
}

// addAge keeps an age, and as a limit the window that is allowed by some age
// that a partner may have: as soon as the youngest, as late as the oldest.
func (g *group) addAge(iv schedule.Interval, from, to int) {
	partner := g.m.groups[g.follows]
	a := age{from, to, partner.step(iv.From), partner.step(iv.To), iv.Planned}
	g.ages = append(g.ages, a)
	w := partner.spanned(a.ofFrom, a.ofTo)
	g.limits = append(g.limits, limit{from, to, g.m.agedBy(a, window{w.hi, w.lo})})
}

// agedBy is the window of an age that suits all partners, whose ages fill a
// window: late enough for the oldest and soon enough for the youngest.
func (m *model) agedBy(a age, partners window) window {
	return window{m.window(a.planned.AsLongAs(seconds(partners.hi))).lo, m.window(a.planned.AsLongAs(seconds(partners.lo))).hi}
}

func seconds(n int) time.Duration { return time.Duration(n) * time.Second }

// window is what the spent part of the tolerances leaves of a planned length,
// rounded inwards to seconds.
func (m *model) window(p schedule.Planned) window {
	part := time.Duration(m.quarters)
	switch p.Kind {
	case schedule.Target:
		lo, hi := p.Length-p.Early*part/4, p.Length+p.Late*part/4
		return window{int((lo + time.Second - 1) / time.Second), int(hi / time.Second)}
	case schedule.AtLeast:
		return window{int((p.Length + time.Second - 1) / time.Second), never}
	case schedule.AtMost:
		return window{0, int(p.Length / time.Second)}
	}
	return window{0, never}
}

// spanned is the window between two steps that follows from the limits of the
// steps between them. What has no upper limit is looked for until beyond, and
// two days are room for the bonds that come first and last in a sitting.
func (g *group) spanned(from, to int) window {
	var sum window
	for step := from; step < to; step++ {
		w := window{0, never}
		for _, l := range g.limits {
			if l.from == step && l.to == step+1 {
				w = w.and(l.window)
			}
		}
		if w.hi == never {
			w.hi = w.lo + int((beyond+2*schedule.Day)/time.Second)
		}
		sum.lo, sum.hi = sum.lo+w.lo, sum.hi+w.hi
	}
	for _, l := range g.limits {
		if l.from == from && l.to == to {
			sum = sum.and(l.window)
		}
	}
	return sum
}

// reach is how long after its glue-up the last step of any group can be.
func (m *model) reach() time.Duration {
	longest := 0
	for _, g := range m.groups {
		longest = max(longest, g.spanned(0, len(g.Steps)-1).hi)
	}
	return min(seconds(longest), longestPlan) + 2*schedule.Day
}

// after is the first slot at or after an instant.
func (m *model) after(at int) int {
	return sort.Search(len(m.slots), func(i int) bool { return m.slots[i].at >= at })
}

// longestOpening is the longest that somebody is there in one go.
func longestOpening(open []span) int {
	longest := 0
	for _, o := range open {
		longest = max(longest, o.to-o.from)
	}
	return longest
}

// impossible reports whether some group has no calendar even if it had the shop
// to itself, in sittings of whatever size, or none of them can be glued on the
// first day, or clamps run out. That is a proof that there is no calendar.
func (m *model) impossible() bool {
	today := m.onFirstDay()
	can := slices.ContainsFunc(m.groups, func(g *group) bool { return g.possible(today) })
	return !can || slices.ContainsFunc(m.groups, func(g *group) bool { return !g.possible(m) }) || m.outOfClamps()
}

// onFirstDay is the model with all glue-ups on the first day.
func (m *model) onFirstDay() *model {
	day := *m
	day.glue.to = min(m.glue.to, m.dayEnds-1)
	return &day
}

// sizesTried bounds the search for a sitting size that works.
const sizesTried = 100

// possible reports whether some sitting can be glued within the model's time.
func (g *group) possible(m *model) bool {
	for n := 1; n <= g.Bonds; n++ {
		sh := g.shape(n)
		switch {
		case n > sizesTried:
			return true
		case sh.tooLarge:
			return false
		case sh.fits && m.table(sh, sh.chain, nil).soonest() < never:
			return true
		}
	}
	return false
}
