package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// GroupRow is the row of a group in a text table among all that it has, after
// the adhesive and before its letters: treatment, n, mean, standard deviation,
// interval and wood failure.
func GroupRow(g strength.Group, all []strength.Group, u quantity.System) []string {
	stress := func(x *float64) string { return StressCell(u, x) }
	return []string{conditions(g, all), restsOn(g), meanCell(g, u), stress(g.SDSurvivors), aboveZero(g.Estimate().Bound, g.Low, g.High, stress), Decimals(g.WoodFailure, 0)}
}

// restsOn is how many specimens the mean rests on, of how many there are, and
// from how many bonded blocks they come where that is fewer.
func restsOn(g strength.Group) string {
	n := g.Broke + g.WoodLimited
	text := fmt.Sprint(g.N)
	if 0 < n && n < g.N {
		text = fmt.Sprintf("%d of %d", n, g.N)
	}
	if g.Blocks > 0 && g.Blocks < n {
		text += fmt.Sprintf(" (%s)", Plural(g.Blocks, "block"))
	}
	return text
}

// conditions is the treatment, with rig and state where an adhesive was not
// broken on one rig in one state throughout.
func conditions(g strength.Group, all []strength.Group) string {
	text := g.Treatment
	for _, other := range all {
		if other.Rig != g.Rig && other.Rig != "" && g.Rig != "" {
			return text + ", " + string(g.Rig) + ", " + string(g.State)
		}
		if other.Treatment == g.Treatment && other.State != g.State && other.State != "" {
			text += ", " + string(g.State)
		}
	}
	return text
}

// meanCell is a group's estimate: the mean of survivors, at least that where the
// wood gave way in any of them.
func meanCell(g strength.Group, u quantity.System) string {
	e := g.Estimate()
	return bounded(e.Bound, StressCell(u, e.Value))
}

// GroupNotes explain a table of GroupRows, with what its keys stand for.
func GroupNotes(groups []strength.Group, study *tracker.Study) (notes []string) {
	if slices.ContainsFunc(groups, func(g strength.Group) bool { return g.Low != nil && *g.Low < 0 }) {
		notes = append(notes, "* The interval would begin below 0: too few specimens, or too unlike, to tell.")
	}
	notes = append(notes, "Adhesives of one treatment that share a letter cannot be told apart; without a letter: not compared.",
		`Where the wood gave way first the mean takes its reading: hence ">=", and only the limit "from".`,
		`Where rig or press did the mean leaves it out: ">=" and "from" where that was at more than the mean.`)
	if names := namesOf(groups, study); names != "" {
		notes = append(notes, names)
	}
	return notes
}

// Ends counts how the specimens of a group ended.
func Ends(g strength.Group) string {
	return strings.Join(tally{{g.Broke, "broke in the bond"}, {g.WoodLimited, "wood-limited"}, {g.AtLeast, "at least"},
		{g.FellApart, "fell apart"}, {g.LeftOut, "left out"}}.parts(), ", ")
}

// A tally counts specimens by what is said of them; nothing is said of none.
type tally []struct {
	n    int
	what string
}

func (t tally) parts() (parts []string) {
	for _, c := range t {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.what))
		}
	}
	return parts
}

// Makeup says what a group's specimens came to, where they did not all break.
func Makeup(g strength.Group, u quantity.System) string {
	parts := tally{{g.WoodLimited, "wood-limited"}, {g.AtLeast, "at least"}, {g.FellApart, "fell apart"}, {g.LeftOut, "left out"}}.parts()
	if g.FellApart > 0 && g.MeanSurvivors != nil {
		parts = append(parts, "mean with zeros "+bounded(g.Estimate().Bound, StressCell(u, g.Mean)))
	}
	if g.WoodLimited > 0 && g.Fitted != nil {
		parts = append(parts, "fitted median "+StressCell(u, g.Fitted))
	}
	if text := InRow(g, u); text != "" {
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// Single is a specimen that is alone of its kind: its adhesive, with the number
// where there is one.
func Single(s strength.Specimen, u quantity.System) string {
	if s.Bound.Measured() {
		return s.Adhesive + " (" + bounded(s.Bound, StressCell(u, s.ShearMPa)) + ")"
	}
	return s.Adhesive
}

// Strength says how a specimen ended and what number came of it.
func Strength(s strength.Specimen, u quantity.System) string {
	text := string(s.Outcome)
	switch {
	case s.Bound.Measured():
		text += ", " + atLeast(s.Bound) + StressCell(u, s.ShearMPa) + " " + u.StressUnit()
	case s.Bound == stat.Zero:
		text += ", counted as 0"
	}
	if s.PlusMinus != nil && *s.ShearMPa > 0 {
		text += fmt.Sprintf(" +/- %.0f %%", 100**s.PlusMinus / *s.ShearMPa)
	}
	return text
}
