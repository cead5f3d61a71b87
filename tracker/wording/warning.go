package wording

import (
	"fmt"

	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// WarningInTable says what weakens a group's numbers, in MPa and by the names
// of columns, for tables and other programs.
func WarningInTable(w strength.Warning) string { return warning(w, quantity.Metric, "mean_mpa") }

// Warning says what weakens a group's numbers, in the units of the plan.
func Warning(w strength.Warning, units quantity.System) string {
	return warning(w, units, "the mean with zeros")
}

func warning(w strength.Warning, units quantity.System, withZeros string) string {
	switch w.Kind {
	case strength.NoMean:
		return "no survivor: no mean of survivors"
	case strength.NoSpread:
		return "one survivor: no spread and no interval"
	case strength.FewBlocks:
		return fmt.Sprintf("survivors come from %d bonded %s: a block counts once, by its mean", w.N, oneOr(w.N, "block", "blocks"))
	case strength.FarBelow:
		return fmt.Sprintf("%d of %d lower bounds lie far below all that broke: they say next to nothing, and count so in the fit", w.N, w.Of)
	case strength.Fragile:
		return fmt.Sprintf("fitted from %d that broke and %d lower bounds: fragile, look at both means", w.N, w.Of)
	case strength.OnlyBound:
		return fmt.Sprintf("no bond broke: of its own strength only a lower bound is known (median at least %s at 95 %%, a scatter of %.0f %% assumed)",
			units.AboutPressure(quantity.Megapascals(w.MPa)), 100*w.Scatter)
	case strength.FewBroke:
		return "fewer than two bonds broke: no fit"
	case strength.NoWidth:
		return "all readings are equal: no scatter, so no limits"
	case strength.NoDivision:
		return "the plan gives no division of the gauge, which would stand for their scatter: nothing is surely told from equal readings"
	case strength.NoMaximum:
		return "no fit: the readings set no finite maximum"
	}
	return fmt.Sprintf("%d of %d %s%s", w.N, w.Of, someOfGroup(w.Kind, withZeros), halved(w.Halved, w.N))
}

// someOfGroup says what is so of some of a group.
func someOfGroup(kind strength.WarningKind, withZeros string) string {
	switch kind {
	case strength.WoodFirst:
		return "wood-limited: the bond is at least as strong as its reading"
	case strength.EndedFirst:
		return "ended before the bond gave way: left out of the mean, a lower bound only"
	case strength.Outlasted:
		return "bore more than the mean of those that broke, and did not: the mean is at least that"
	case strength.Zeros:
		return "fell apart: counted as 0 in " + withZeros + ", not among survivors"
	case strength.TakenOut:
		return "lost, damaged or withdrawn: left out"
	case strength.FacesUnread:
		return "provisional: fracture faces not read yet"
	case strength.OnNominal:
		return "on nominal area"
	case strength.NoStress:
		return "broke without a reading that gives a stress: left out of the mean"
	}
	return fmt.Sprintf("warning %d", kind)
}

// Provisional says of a specimen that is provisional how far its faces are read.
func Provisional(sp strength.Specimen) string {
	if sp.HalfRead() {
		return "provisional: 1 of 2 halves read"
	}
	return "provisional: its fracture faces have not been read"
}

// StrengthMark says what a reader of a strength must know: a mark of the record
// in its own words, or one of the strength itself.
func StrengthMark(m strength.Mark) string {
	if m.Recorded != nil {
		return MarkText(*m.Recorded)
	}
	switch m.Rule {
	case strength.NoReading:
		return "the break has no reading that can be read: void it and enter it again with soaktag break"
	case strength.NoForce:
		return fmt.Sprintf("%s is no force without the ram area of rig %q: give it in the plan", m.Reading, m.Rig)
	case strength.NominalArea:
		return "bond length and width were not measured: the plan's nominal area is used"
	case strength.OverGauge:
		return fmt.Sprintf("%s is over the gauge's span", m.Reading)
	case strength.LowOnGauge:
		return fmt.Sprintf("%s is under %.0f %% of the gauge's span", m.Reading, 100*strength.GaugeLow)
	case strength.HighOnGauge:
		return fmt.Sprintf("%s is over %.0f %% of the gauge's span", m.Reading, 100*strength.GaugeHigh)
	}
	return m.Rule
}
