package main

import (
	"fmt"

	"soaktag/tracker/quantity"
)

// pressureText writes what a reading comes to, for the one who took it.
func pressureText(u quantity.System, p quantity.Pressure) string {
	if u == quantity.Inch {
		return u.Stress(p)
	}
	return fmt.Sprintf("%.3g MPa", p.MPa())
}
