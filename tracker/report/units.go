package report

import "soaktag/tracker/quantity"

// units are those that the page speaks in. What is kept exact beside a number
// is always MPa.
type units struct{ quantity.System }

func (s *source) units() units { return units{s.study.Units} }

// of is a stress in MPa as a number of the page's unit. In MPa it is the same
// number to the last bit: a fit may end where pascals would overflow.
func (u units) of(mpa float64) float64 {
	if u.System == quantity.Metric {
		return mpa
	}
	return u.StressIn(quantity.Megapascals(mpa))
}

// stress writes a stress given in MPa, without its unit.
func (u units) stress(mpa *float64) number {
	if exact(mpa) == "" {
		return number{}
	}
	return number{fixed(u.of(*mpa), u.StressDecimals()), exact(mpa)}
}

// about writes a stress given in MPa with its unit, as a sentence does.
func (u units) about(mpa float64) string { return u.AboutStress(quantity.Megapascals(mpa)) }

// aboutNumber writes it without.
func (u units) aboutNumber(mpa float64) string {
	return fixed(u.of(mpa), max(0, u.StressDecimals()-1))
}
