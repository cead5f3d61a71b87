package strength

import (
	"math"
	"slices"

	"soaktag/tracker/stat"
)

// Another is a comparison worked out in another way than the named one: a
// headline that hangs on the way it was worked out is a weak one.
type Another struct {
	Way       Way
	Value     *float64 // a/b; a-b in MPa where the way is plain
	Low       *float64
	High      *float64
	ToldApart bool
}

// A Way is another way of working a comparison out than the named one.
type Way int

// The other ways.
const (
	NoStrays      Way = iota + 1 // without the specimens that drifted
	WoodDropped                  // without wood breaks
	AsLowerBounds                // wood and rig breaks as lower bounds, by maximum likelihood
	OwnSpreads                   // every group with its own spread, after Games and Howell
	PlainScale                   // differences of strengths instead of their ratios
	ZerosIn                      // the same with what fell apart as 0
)

// Plain reports whether w gives differences in MPa instead of ratios.
func (w Way) Plain() bool { return w == PlainScale || w == ZerosIn }

// A variant is one other way: which specimens count, and how two groups are
// set side by side. It is used where some specimen is of the kind it is about.
type variant struct {
	way     Way
	about   func(Specimen) bool
	keep    func(Specimen) bool
	admits  func(kept []Specimen) bool // a group of which this much is left; nil: any
	compare func(groups [][]Specimen) ([]stat.Pair, error)
}

func (c comparer) variants() []variant {
	survived := func(s Specimen) bool { return s.Survived() }
	return []variant{
		{way: NoStrays, about: func(s Specimen) bool { return c.stray[s.Code] != nil },
			keep: func(s Specimen) bool { return s.Survived() && c.stray[s.Code] == nil }, compare: onLogs(stat.TukeyKramer)},
		{way: WoodDropped, about: woodBroke,
			keep: func(s Specimen) bool { return s.Survived() && !woodBroke(s) }, compare: onLogs(stat.TukeyKramer)},
		{way: AsLowerBounds, about: func(s Specimen) bool { return s.Bound.Censored() },
			keep: func(s Specimen) bool { return s.Survived() || s.Bound.Censored() }, admits: anyExact, compare: asBounds},
		{way: OwnSpreads, about: survived, keep: survived, admits: twoBlocks, compare: onLogs(stat.GamesHowell)},
		{way: PlainScale, about: survived, keep: survived, compare: onPlain(stat.TukeyKramer)},
		{way: ZerosIn, about: func(s Specimen) bool { return s.Outcome == FellApart },
			keep: func(s Specimen) bool { return s.Survived() || s.Outcome == FellApart }, compare: onPlain(stat.TukeyKramer)},
	}
}

func anyExact(of []Specimen) bool {
	return slices.ContainsFunc(observations(of), func(o stat.Observation) bool { return o.Bound == stat.Exact })
}

func twoBlocks(of []Specimen) bool { return len(shears(of)) > 1 }

func woodBroke(s Specimen) bool { return s.Outcome == WoodLimited }

// others works out every pair in every other way that applies, by the places
// of the two groups.
func (c comparer) others() map[[2]int][]Another {
	out := map[[2]int][]Another{}
	for i := range c.groups {
		for j := range c.groups {
			out[[2]int{i, j}] = []Another{}
		}
	}
	for _, v := range c.variants() {
		c.add(out, v)
	}
	return out
}

// add works out the pairs of one variant. Groups that it leaves nothing of
// drop out, and the rest are compared without them.
func (c comparer) add(out map[[2]int][]Another, v variant) {
	var places []int
	var kept [][]Specimen
	applies := false
	for i, g := range c.groups {
		applies = applies || g.tally(v.about) > 0
		if of := filter(g.Members, v.keep); len(of) > 0 && (v.admits == nil || v.admits(of)) {
			places, kept = append(places, i), append(kept, of)
		}
	}
	if !applies {
		return
	}
	pairs, err := v.compare(kept)
	if err != nil {
		return
	}
	for _, p := range pairs {
		at := [2]int{places[p.A], places[p.B]}
		out[at] = append(out[at], v.another(p))
	}
}

func filter[T any](of []T, keep func(T) bool) (out []T) {
	for _, s := range of {
		if keep(s) {
			out = append(out, s)
		}
	}
	return out
}

func (v variant) another(p stat.Pair) Another {
	a := Another{Way: v.way, ToldApart: p.PAdjusted < 1-level}
	back := math.Exp
	if v.way.Plain() {
		back = func(x float64) float64 { return x }
	}
	a.Value = number(back(p.Estimate.Value))
	if l := p.Estimate.Limits; l != nil {
		a.Low, a.High = number(back(l.Low)), number(back(l.High))
	}
	return a
}

// HangsOn are the other ways in which a pair that is surely told apart by strength is
// not: a finding says so wherever it stands.
func (p Comparison) HangsOn() (ways []Way) {
	for _, o := range p.Others {
		if p.Sure && !p.byZeros() && !(o.ToldApart && o.side() == p.side()) {
			ways = append(ways, o.Way)
		}
	}
	return ways
}

// reversed finds a way that tells a pair apart the other way round.
func (p Comparison) reversed() (Way, bool) {
	for _, o := range p.Others {
		if o.ToldApart && o.side() == -p.side() {
			return o.Way, true
		}
	}
	return 0, false
}

// side is 1 where A reads higher, -1 where B does; 0 without a ratio.
func (p Comparison) side() float64 {
	if p.Ratio == nil {
		return 0
	}
	return math.Copysign(1, *p.Ratio-1)
}

type method func(groups [][]float64, level float64) ([]stat.Pair, error)

func onPlain(m method) func([][]Specimen) ([]stat.Pair, error) {
	return func(groups [][]Specimen) ([]stat.Pair, error) {
		values := make([][]float64, len(groups))
		for i, g := range groups {
			values[i] = shears(g)
		}
		return m(values, level)
	}
}

func onLogs(m method) func([][]Specimen) ([]stat.Pair, error) {
	return func(groups [][]Specimen) ([]stat.Pair, error) {
		values := make([][]float64, len(groups))
		for i, g := range groups {
			if values[i] = logarithms(shears(g)); values[i] == nil {
				return nil, stat.ErrNotPositive
			}
		}
		return m(values, level)
	}
}

// asBounds compares by maximum likelihood with one spread for all.
func asBounds(groups [][]Specimen) ([]stat.Pair, error) {
	values := make([][]stat.Observation, len(groups))
	for i, g := range groups {
		values[i] = observations(g)
		for k, o := range values[i] {
			if o.Value <= 0 {
				return nil, stat.ErrNotPositive
			}
			values[i][k].Value = math.Log(o.Value)
		}
	}
	return stat.TukeyCensored(values, level)
}
