package strength

import "slices"

// A Beside is a group that was there beside the best of an order and may be
// better: nothing that outlasted the others goes without being named.
type Beside struct {
	Group Group
	How   BesideKind
	MPa   float64 // what it bore, or read
}

// A BesideKind says how a group stands beside an order.
type BesideKind int

// How a group may be better than the best.
const (
	OnOtherRig   BesideKind = iota + 1 // broken on another rig: not comparable
	InOtherState                       // broken in another state: not comparable
	OneAlone                           // one value, at MPa: no comparison
	OneBroke                           // one value, and another bore MPa unbroken
	Unbroken                           // bore MPa, and did not break
	HeldMore                           // those of it that held read MPa
	MoreWithout                        // reads MPa where those that drifted are left out of both
)

// Alike limits a "best" to those among whom it can be meant.
type Alike int

// Whom a best is the best of.
const (
	OfAll      Alike = iota
	OfBroken         // another bore more, and did not break
	OfTreated        // another was not treated alike
	OfRig            // another was broken on another rig
	OfState          // another was broken in another state
	OfCompared       // another has one value only, or others are not meant for several reasons
)

// beside names who may be better than the best of an order, which cannot be told
// apart from ties.
func (c comparer) beside(best Group, ties []string) (out []Beside) {
	ranked := c.ranked()
	for _, g := range c.all {
		if g.Treatment != c.treatment.Key || g.Adhesive == best.Adhesive || solidWood(c.study, g.Adhesive) {
			continue
		}
		b := Beside{Group: g}
		if slices.Contains(ranked, g.Adhesive) {
			b.inOrder(best, slices.Contains(ties, g.Adhesive), g.Rig == best.Rig && g.State == best.State)
		} else {
			b.outside(best)
		}
		if b.How != 0 {
			out = append(out, b)
		}
	}
	return out
}

// inOrder looks at one whose adhesive has a place in the order: what of it outlasted
// the best, and what of it held where the rest fell apart.
func (b *Beside) inOrder(best Group, tie, same bool) {
	g, mean := b.Group, *best.MeanSurvivors
	switch bore := g.outlasted(); {
	case !same && g.Highest() > mean:
		b.elsewhere(best)
	case tie && bore > mean:
		b.How, b.MPa = Unbroken, bore
	case same && best.MeanWithout != nil && g.MeanSurvivors != nil && g.withoutStrays() > *best.MeanWithout:
		b.How, b.MPa = MoreWithout, g.withoutStrays()
	case same && g.FellApart > 0 && g.MeanSurvivors != nil && *g.MeanSurvivors > mean:
		b.How, b.MPa = HeldMore, *g.MeanSurvivors
	}
}

// withoutStrays is the mean of survivors that did not drift.
func (g Group) withoutStrays() float64 {
	if g.MeanWithout != nil {
		return *g.MeanWithout
	}
	return *g.MeanSurvivors
}

// outside looks at one without a place in the order.
func (b *Beside) outside(best Group) {
	g := b.Group
	switch few := len(shears(g.Survivors())) < 2; {
	case len(g.Survivors()) == 0 && g.AtLeast > 0:
		b.How, b.MPa = Unbroken, g.Highest()
	case len(g.Survivors()) == 0:
	case g.Rig != best.Rig || g.State != best.State:
		b.elsewhere(best)
	case few && g.outlasted() > *g.MeanSurvivors:
		b.How, b.MPa = OneBroke, g.outlasted()
	case few && (g.Highest() > *best.MeanSurvivors || g.bound().MayBeMore()):
		b.How, b.MPa = OneAlone, g.Highest()
	}
}

func (b *Beside) elsewhere(best Group) {
	if b.How = InOtherState; b.Group.Rig != best.Rig {
		b.How = OnOtherRig
	}
}

// outlasted is the highest reading, in MPa, at which rig or press gave way first or
// somebody stopped; 0 without any.
func (g Group) outlasted() (most float64) {
	for _, s := range g.Loaded() {
		if !s.Survived() {
			most = max(most, *s.ShearMPa)
		}
	}
	return most
}

// among limits "best" to those that can be meant.
func (c comparer) among(beside []Beside) Alike {
	out := OfAll
	join := func(a Alike) {
		if out != OfAll && out != a {
			a = OfCompared
		}
		out = a
	}
	for _, b := range beside {
		if a := b.How.leaves(); a != OfAll {
			join(a)
		}
	}
	if len(c.treatedOtherwise()) > 0 {
		join(OfTreated)
	}
	return out
}

// leaves says whom a best can be the best of, beside one of such a kind.
func (k BesideKind) leaves() Alike {
	switch k {
	case OnOtherRig:
		return OfRig
	case InOtherState:
		return OfState
	case Unbroken:
		return OfBroken
	case OneAlone, OneBroke:
		return OfCompared
	}
	return OfAll
}

// treatedOtherwise are the adhesives that have no place in the order because they
// were not treated alike, whatever they read.
func (c comparer) treatedOtherwise() (keys []string) {
	alike := c.alike()
	for _, g := range c.groups {
		in := slices.ContainsFunc(alike, func(f Group) bool { return f.Adhesive == g.Adhesive })
		strange := slices.ContainsFunc(alike, func(f Group) bool { return f.Adhesive != g.Adhesive && len(c.unlike(g, f)) > 0 })
		if !in && (len(c.fair(g.Adhesive)) > 0 || strange) {
			keys = append(keys, g.Adhesive)
		}
	}
	return keys
}

func byZeros(beside []Beside) bool {
	return slices.ContainsFunc(beside, func(b Beside) bool { return b.How == HeldMore })
}
