package strength

import (
	"fmt"
	"math"
	"slices"

	"soaktag/tracker/stat"
)

// judge says whether a difference that is told apart would stay so if what is
// only known as a bound were known: readings at which wood or rig gave way
// first may hide a stronger bond in the weaker group, and what fell apart is
// not in the means at all.
func (p *Comparison) judge(a, b Group) {
	if !p.ToldApart || p.Ratio == nil {
		return
	}
	winner, loser, side := a, b, 1.0
	if *p.Ratio < 1 {
		winner, loser, side = b, a, -1
	}
	switch n := loser.tally(func(s Specimen) bool { return s.Bound == stat.AtLeast }); {
	case n > 0:
		p.Doubt = Text(fmt.Sprintf("wood or rig gave way first in %d of %d of %s, which may be the stronger bond", n, loser.N, loser.Adhesive))
	case winner.FellApart > 0 && !p.heldWithZeros(side):
		p.Doubt = Text(fmt.Sprintf("%d of %d of %s fell apart; with these as 0 it does not stand above %s", winner.FellApart, winner.N, winner.Adhesive, loser.Adhesive))
	}
	p.Sure = p.Doubt == ""
}

// heldWithZeros reports whether the same side is told apart above the other
// when what fell apart counts as 0.
func (p *Comparison) heldWithZeros(side float64) bool {
	i := slices.IndexFunc(p.Others, func(o Another) bool { return o.Method == withZeros })
	return i >= 0 && p.Others[i].ToldApart && p.Others[i].side() == side
}

// side is 1 where a is the stronger, -1 where b is.
func (o Another) side() float64 {
	switch {
	case o.Value == nil:
		return 0
	case o.Unit == "ratio":
		return math.Copysign(1, *o.Value-1)
	}
	return math.Copysign(1, *o.Value)
}

// wins reports whether the first (1) or the second (-1) is surely told apart
// above the other.
func (p Comparison) wins(side float64) bool {
	return p.Sure && side*math.Log(*p.Ratio) > 0
}
