package strength

import (
	"slices"

	"soaktag/tracker/stat"
)

// An Estimate is the one number that people are given of a group, in MPa, so
// that headline, row, slide and figure say the same: the mean of survivors. It
// can be checked by hand, and is at least that where something else gave way first in
// one that counts, or bore more. Value is nil where nothing survived, the limits where one did.
type Estimate struct {
	Value, Low, High *float64
	Bound            stat.Bound
}

// Estimate gives people the number of g.
func (g Group) Estimate() Estimate {
	return Estimate{Value: g.MeanSurvivors, Low: g.Low, High: g.High, Bound: g.bound()}
}

// bound is that of the mean of survivors: at least it where the wood gave way
// first in one of them, or the rig in another that bore more than they did in the
// mean. Leaving that one out made the mean lower.
func (g Group) bound() stat.Bound {
	if slices.ContainsFunc(g.Survivors(), woodBroke) || g.Outlasting() > 0 {
		return stat.AtLeast
	}
	return stat.Exact
}

// Outlasting counts the members that bore more than the survivors' mean and did not
// break: rig or press gave way first, or somebody stopped.
func (g Group) Outlasting() (n int) {
	if g.MeanSurvivors == nil {
		return 0
	}
	for _, s := range g.Loaded() {
		if !s.Survived() && *s.ShearMPa > *g.MeanSurvivors {
			n++
		}
	}
	return n
}
