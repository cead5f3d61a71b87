package wording

import (
	"fmt"

	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// What stands in a cell of a text table; "-" for what is not known.

// Decimals writes a number with n decimals.
func Decimals(x *float64, n int) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.*f", n, *x)
}

// Percent writes a ratio in % to the tenth, without the sign.
func Percent(x *float64) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.1f", 100**x)
}

// StressCell writes a stress given in MPa for a column that names its unit.
func StressCell(u quantity.System, mpa *float64) string {
	if mpa == nil {
		return "-"
	}
	return u.StressNumber(quantity.Megapascals(*mpa))
}

// interval writes an interval.
func interval(low, high *float64, write func(*float64) string) string {
	if low == nil || high == nil {
		return "-"
	}
	return write(low) + " to " + write(high)
}

// towards writes of an interval around a number the limits that still hold: only the
// one away from where the truth may lie, none where that is on both sides.
func towards(b stat.Bound, low, high *float64, write func(*float64) string) string {
	switch {
	case low == nil || high == nil || b == stat.Either:
		return "-"
	case b.MayBeMore():
		return "from " + write(low)
	case b.MayBeLess():
		return "up to " + write(high)
	}
	return interval(low, high, write)
}

// TooFewToSay stands in place of limits that say nothing; see strength.SayNothing.
const TooFewToSay = "too few to say"

// ofRatio writes the limits of a ratio of a bound, unless they say nothing.
func ofRatio(b stat.Bound, low, high *float64, write func(*float64) string) string {
	if strength.SayNothing(low, high, 1) {
		return TooFewToSay
	}
	return towards(b, low, high, write)
}

// aboveZero writes an interval of strengths, none of which is below 0: there it
// begins at 0, with the sign of the note that says why.
func aboveZero(b stat.Bound, low, high *float64, write func(*float64) string) string {
	begins := func(x *float64) string {
		if *x < 0 {
			return "0*"
		}
		return write(x)
	}
	return towards(b, low, high, begins)
}

// atLeast says before a number in a sentence that it is a bound.
func atLeast(b stat.Bound) string {
	if phrase := b.Phrase(); phrase != "" {
		return phrase + " "
	}
	return ""
}

// bounded writes a number with the sign of its bound.
func bounded(b stat.Bound, number string) string {
	if b == stat.Exact || number == "-" {
		return number
	}
	return b.Sign() + " " + number
}
