package main

import (
	"fmt"

	"soaktag/tracker/quantity"
)

// stress writes a stress given in MPa for a column, without its unit; "-" when
// it is not known.
func stress(u quantity.System, mpa *float64) string {
	if mpa == nil {
		return "-"
	}
	return u.StressNumber(quantity.Megapascals(*mpa))
}

// pressureText writes what a reading comes to, for the one who took it.
func pressureText(u quantity.System, p quantity.Pressure) string {
	if u == quantity.Inch {
		return u.Stress(p)
	}
	return fmt.Sprintf("%.3g MPa", p.MPa())
}
