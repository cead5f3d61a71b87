package report

import (
	"soaktag/tracker/quantity"
)

// units are those that the page speaks in: MPa or, where the plan gives the
// bond in inches, psi. What is kept exact beside a number is always MPa.
type units struct{ inch bool }

func (s *source) units() units { return units{s.study.Units == quantity.Inch} }

// name is the unit of a stress.
func (u units) name() string {
	if u.inch {
		return "psi"
	}
	return "MPa"
}

// of is a stress in MPa as a number of the page's unit.
func (u units) of(mpa float64) float64 {
	if u.inch {
		return quantity.Pressure(mpa * 1e6).PSI()
	}
	return mpa
}

// stress writes a stress given in MPa, without its unit.
func (u units) stress(mpa *float64) number {
	if !u.inch || exact(mpa) == "" {
		return rounded(mpa, 2)
	}
	return number{fixed(u.of(*mpa), 0), exact(mpa)}
}

// coarse writes a stress that is known to three figures, with its unit.
func (u units) coarse(mpa float64) string { return u.bare(mpa) + " " + u.name() }

func (u units) bare(mpa float64) string {
	if u.inch {
		return fixed(u.of(mpa), 0)
	}
	return fixed(mpa, 1)
}

func (u units) area(a quantity.Area) string {
	if u.inch {
		return fixed(a.IN2(), 2) + " in²"
	}
	return fixed(a.CM2(), 2) + " cm²"
}

func (u units) length(l quantity.Length) string {
	if u.inch {
		return shortest(l.IN(), 3) + " in"
	}
	return shortest(l.MM(), 1) + " mm"
}

func (u units) pressure(p quantity.Pressure) string {
	if u.inch {
		return fixed(p.PSI(), 0) + " psi"
	}
	return shortest(p.MPa(), 2) + " MPa"
}
