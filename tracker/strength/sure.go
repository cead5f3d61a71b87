package strength

import (
	"math"
	"slices"

	"soaktag/tracker/stat"
)

// side is 1 where a is the stronger, -1 where b is.
func (o Another) side() float64 {
	switch {
	case o.Value == nil:
		return 0
	case o.Way.Plain():
		return math.Copysign(1, *o.Value)
	}
	return math.Copysign(1, *o.Value-1)
}

// wins reports whether the first (1) or the second (-1) is surely told apart
// above the other.
func (p Comparison) wins(side int) bool { return p.Better == side }

// byZeros reports whether a pair is told apart by what fell apart.
func (p Comparison) byZeros() bool {
	return p.Sure && (p.Ground == stat.ByZeros || p.Ground == stat.ByBoth)
}

// verdicts sets the groups in order two by two; none where a strength has no
// logarithm, or there is nothing to compare.
func (c comparer) verdicts(all []stat.Contender) []stat.Verdict {
	verdicts, err := stat.Judge(all, level)
	if err != nil {
		return nil
	}
	return verdicts
}

// contenders are what is known of the groups.
func (c comparer) contenders() (all []stat.Contender) {
	for _, g := range c.groups {
		all = append(all, g.contender())
	}
	return all
}

// contender is what is known of g, one value a bonded block: that of the survivors in
// it, else what its rig bore, else nothing, where all in it fell apart.
func (g Group) contender() (c stat.Contender) {
	if g.Mean != nil {
		c.Mean = *g.Mean
	}
	c.Division = g.division()
	for _, block := range blocks(g.Members) {
		survivors := filter(block, Specimen.Survived)
		bound := stat.Exact
		for _, o := range observations(filter(block, Specimen.loaded)) {
			bound = o.Bound
		}
		switch {
		case len(survivors) > 0 && bound == stat.Exact:
			c.Exact = append(c.Exact, shears(survivors)...)
		case len(survivors) > 0:
			c.Limited = append(c.Limited, shears(survivors)...)
		case bound != stat.Exact:
			c.AtLeast = append(c.AtLeast, readings(filter(block, Specimen.loaded))[0])
		case len(filter(block, func(s Specimen) bool { return s.Outcome == FellApart })) > 0:
			c.Zeros++
		}
	}
	return c
}

// division is the widest of the gauge of g as a share of what its survivors read; 0 where
// it is not known of one of them.
func (g Group) division() (widest float64) {
	for _, s := range g.Survivors() {
		if s.division == 0 {
			return 0
		}
		widest = max(widest, s.division)
	}
	return widest
}

// equal reports whether survivors are several, and all read the same.
func equal(survivors []Specimen) bool {
	xs := shears(survivors)
	return len(xs) > 1 && slices.Max(xs)-slices.Min(xs) <= sameReading*slices.Max(xs)
}

// loaded reports whether s has a reading, a lower bound or not.
func (s Specimen) loaded() bool { return s.Bound.Measured() && s.ShearMPa != nil }

// judge takes the verdict on a pair: whether it is sure, by what, with which
// limits, or what forbids it.
func (p *Comparison) judge(v stat.Verdict, a, b Group) {
	sure := v.P(level)
	p.PSure, p.Better, p.Sure, p.Ground = &sure, v.Better, v.Better != 0, v.Ground
	if p.Ratio != nil && v.Half > 0 {
		p.SureLow, p.SureHigh = number(*p.Ratio*math.Exp(-v.Half)), number(*p.Ratio*math.Exp(v.Half))
	}
	way, turned := p.reversed()
	switch {
	case p.Sure && turned && !p.byZeros():
		p.Better, p.Sure = 0, false
		p.Doubt = p.doubt(a, b)
		p.Doubt.Kind, p.Doubt.Way = Reversed, way
	case !p.Sure && p.Ground != stat.NothingFound:
		p.Doubt = p.doubt(a, b)
	}
}

// doubt says what forbids an order of a pair.
func (p Comparison) doubt(a, b Group) Doubt {
	if p.Ratio != nil && *p.Ratio < 1 {
		a, b = b, a
	}
	d := Doubt{Who: a.Adhesive, Than: b.Adhesive}
	switch p.Ground {
	case stat.BoundsHide:
		d.Kind, d.N, d.Of = HidesMore, b.tally(func(s Specimen) bool { return s.Bound.MayBeMore() }), b.N
	case stat.MoreZeros:
		d.Kind, d.N, d.Of = WithZeros, a.FellApart, a.N
	case stat.MeansDisagree:
		d.Kind = MeansTurn
	case stat.OnlyPooled:
		d.Kind, d.N, d.Of = IfAlike, a.Blocks, b.Blocks
	case stat.RiskShared:
		d.Kind = RiskHalved
	case stat.Opposed:
		return p.opposed()
	}
	return d
}

// opposed is the doubt of two of which surely more fell apart of the one, and that one
// reads higher or has the higher mean all the same.
func (p Comparison) opposed() Doubt {
	who, than, more, fewer := p.A, p.B, p.Fell[0], p.Fell[1]
	if more.Of*fewer.N < fewer.Of*more.N {
		who, than, more = than, who, fewer
	}
	return Doubt{Kind: MoreFell, Who: who, Than: than, N: more.Of, Of: more.N}
}
