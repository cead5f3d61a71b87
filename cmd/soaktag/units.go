package main

import (
	"fmt"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// units are those of the screen: metric, or inches and psi. What other
// programs read is always metric.
type units struct{ inch bool }

// unitsOf chooses inches where the plan gives the bond in them.
func unitsOf(study *tracker.Study) units {
	return units{inch: study.Units == quantity.Inch}
}

// stress writes a stress given in MPa, without its unit; "-" when it is not
// known.
func (u units) stress(mpa *float64) string {
	if mpa == nil || !u.inch {
		return decimals(mpa, 2)
	}
	psi := quantity.Pressure(*mpa * 1e6).PSI()
	return decimals(&psi, 0)
}

func (u units) stressUnit() string {
	if u.inch {
		return "psi"
	}
	return "MPa"
}

// force and pressure write what a reading comes to, for the one who took it.
func (u units) force(f quantity.Force) string {
	if u.inch {
		return fmt.Sprintf("%.0f lbf", f.LBF())
	}
	return fmt.Sprintf("%.4g kN", f.KN())
}

func (u units) pressure(p quantity.Pressure) string {
	if u.inch {
		return fmt.Sprintf("%.0f psi", p.PSI())
	}
	return fmt.Sprintf("%.3g MPa", p.MPa())
}

// length writes a length with its unit: to three figures, at least to the
// whole unit.
func (u units) length(l quantity.Length) string {
	return u.lengthNumber(l) + " " + u.lengthUnit()
}

func (u units) lengthNumber(l quantity.Length) string {
	x := l.MM()
	if u.inch {
		x = l.IN()
	}
	if x >= 100 {
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.3g", x)
}

func (u units) lengthUnit() string {
	if u.inch {
		return "in"
	}
	return "mm"
}
