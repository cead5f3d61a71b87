package design

import (
	"fmt"
	"math"
	"strconv"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// Units are those in which a person who wrote a plan thinks: metric, or inches,
// pounds and psi. What a gauge shows stays in the unit on its dial.
type Units struct{ Inch bool }

// UnitsOf chooses inches where the plan gives the bond in them.
func UnitsOf(s *tracker.Study) Units {
	return Units{Inch: s.Units == quantity.Inch}
}

// Force writes a force to three figures, in lbf or kN: what is foreseen is no
// better than that. So do the others.
func (u Units) Force(f quantity.Force) string {
	if u.Inch {
		return figure(f.LBF(), 3) + " lbf"
	}
	return figure(f.KN(), 3) + " kN"
}

// Pressure writes a pressure, in psi or MPa.
func (u Units) Pressure(p quantity.Pressure) string {
	if u.Inch {
		return figure(p.PSI(), 3) + " psi"
	}
	return figure(p.MPa(), 3) + " MPa"
}

// Length writes a length to three figures, in in or mm.
func (u Units) Length(l quantity.Length) string {
	if u.Inch {
		return figure(l.IN(), 3) + " in"
	}
	return figure(l.MM(), 3) + " mm"
}

// Mass writes a mass to two figures, in lb or kg.
func (u Units) Mass(m quantity.Mass) string {
	if u.Inch {
		return figure(quantity.Force(gravity*float64(m)).LBF(), 2) + " lb"
	}
	return figure(m.KG(), 2) + " kg"
}

// Square writes an area as the square that has it, to two figures, rounded
// down: a smaller bond suits too.
func (u Units) Square(a quantity.Area) string {
	side, unit := math.Sqrt(a.MM2()), "mm"
	if u.Inch {
		side, unit = math.Sqrt(a.IN2()), "in"
	}
	return fmt.Sprintf("%[1]s %[2]s x %[1]s %[2]s", figure(down(side, 2), 2), unit)
}

// figure writes x to n significant figures, never with an exponent.
func figure(x float64, n int) string {
	return strconv.FormatFloat(figures(x, n), 'f', -1, 64)
}

// figures rounds to n significant figures. A hair below a half is a half, so
// that a sum tells the same whichever way it was worked.
func figures(x float64, n int) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	scale := math.Pow(10, float64(n-1)-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale*(1+1e-12)) / scale
}

// down cuts a positive number off after n significant figures.
func down(x float64, n int) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-float64(n-1))
	return downTo(x, step)
}
