package strength

import (
	"errors"
	"math"
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

// assumedScatter is the coefficient of variation taken for groups of which no
// bond broke, so that their lower bound says something: shear of clear wood
// varies by 14 % on average. Source: Wood Handbook, from memory; ASTM D2555
// prints 10 to 19 % for green wood of single species.
const assumedScatter = 0.14

// fit adds the median by maximum likelihood, readings at which wood or rig
// gave way first being lower bounds. Fell apart has no logarithm and no lower
// bound: it stays out, and its share is a number of its own.
func (g *Group) fit(rule tracker.Limits) {
	obs := observations(g.Loaded())
	family := stat.LogNormal
	if rule.PlainScale {
		family, g.PlainScale = stat.Normal, true
	}
	f, err := stat.FitCensored(obs, family, level)
	if err != nil {
		g.unfitted(obs, err)
		return
	}
	g.Fitted = number(f.Value)
	g.FittedLow, g.FittedHigh = ends(f.Estimate)
	g.FitBounds = f.Censored
	n := farBelow(obs)
	g.warnIf(n > 0, Warning{Kind: FarBelow, N: n, Of: f.Censored})
	g.warnIf(f.Censored > 0 && f.Exact < 3, Warning{Kind: Fragile, N: f.Exact, Of: f.Censored})
}

// farBelow counts lower bounds under two thirds of the lowest that broke.
func farBelow(obs []stat.Observation) (n int) {
	lowest := math.Inf(1)
	for _, o := range obs {
		if o.Bound == stat.Exact {
			lowest = min(lowest, o.Value)
		}
	}
	for _, o := range obs {
		if o.Bound.MayBeMore() && o.Value < lowest*2/3 {
			n++
		}
	}
	return n
}

// Loaded returns the members that have a reading, a lower bound or not.
func (g *Group) Loaded() (out []Specimen) {
	for _, s := range g.Members {
		if s.Bound.Measured() && s.ShearMPa != nil {
			out = append(out, s)
		}
	}
	return out
}

// unfitted says why there is no fit. Where no bond broke at all there still is
// a lower bound.
func (g *Group) unfitted(obs []stat.Observation, why error) {
	broke := false
	var least []float64
	for _, o := range obs {
		broke = broke || o.Bound == stat.Exact
		least = append(least, o.Value)
	}
	if bound, err := stat.LowerBound(least, assumedScatter, level); err == nil && !broke && len(obs) > 1 {
		g.LowerBound = &bound
		g.warnIf(true, Warning{Kind: OnlyBound, MPa: bound, Scatter: assumedScatter})
		return
	}
	g.warnIf(len(obs) > 1 && errors.Is(why, stat.ErrTooFewExact), Warning{Kind: FewBroke})
	g.warnIf(errors.Is(why, stat.ErrNoMaximum), Warning{Kind: NoMaximum})
}

// share adds the exact limits of the share that would fall apart. Specimens of
// one bonded block fall apart together: of those there are no limits.
func (g *Group) share() {
	of := slices.DeleteFunc(slices.Clone(g.Members), leftOutOf)
	if len(of) == 0 || len(blocks(of)) < len(of) {
		return
	}
	e, err := stat.Proportion(g.FellApart, len(of), level)
	if err != nil || e.Limits == nil {
		return
	}
	g.FellApartLow, g.FellApartHigh = number(100*e.Limits.Low), number(100*e.Limits.High)
}

func leftOutOf(s Specimen) bool {
	return s.Outcome == Lost || s.Outcome == Damaged || s.Outcome == Withdrawn
}
