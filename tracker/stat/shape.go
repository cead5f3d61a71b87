package stat

import (
	"fmt"
	"math"
	"slices"
)

// A shape is a standard distribution moved so that its median is zero. Both
// its density and its survival function are log-concave, which is what makes
// the likelihood below have one maximum.
type shape struct {
	median  float64               // of the distribution before the move
	exact   func(z float64) curve // ln f
	atLeast func(z float64) curve // ln (1 - F)
}

// fitted are the kinds of bounds that a fit knows, each with its curve below.
var fitted = []Bound{Exact, AtLeast}

// of is the curve that an observation adds to the log-likelihood.
func (s shape) of(b Bound, z float64) curve {
	if b == AtLeast {
		return s.atLeast(z)
	}
	return s.exact(z)
}

// checkBounds refuses bounds of other kinds than those given.
func checkBounds(obs []Observation, kinds []Bound) error {
	for _, o := range obs {
		if !slices.Contains(kinds, o.Bound) {
			return fmt.Errorf("%v: %w", o.Bound, ErrBound)
		}
	}
	return nil
}

// A curve is a function at one point: its value, slope and minus the second
// derivative (so bend >= 0).
type curve struct{ value, slope, bend float64 }

func (f Family) shape() (shape, error) {
	switch f {
	case Normal, LogNormal:
		return shape{0, normalDensity, normalSurvival}, nil
	case Weibull:
		return shape{lnLn2, extremeDensity, extremeSurvival}, nil
	}
	return shape{}, fmt.Errorf("%v: %w", f, ErrFamily)
}

const (
	lnLn2     = -0.36651292058166432701 // ln ln 2: median of the standard smallest extreme value
	halfLn2Pi = 0.91893853320467274178  // ln(2π)/2
)

func normalDensity(z float64) curve { return curve{-z*z/2 - halfLn2Pi, -z, 1} }

// normalSurvival uses the hazard h = φ/(1-Φ): slope -h, bend h (h - z). Far out
// the survival function underflows long before its logarithm does anything
// odd, so from 8 on h comes from Laplace's continued fraction,
//
//	h = z + 1/(z + 2/(z + 3/(z + ...))).
//
// Source: Abramowitz and Stegun (1964), 26.2.14.
func normalSurvival(z float64) curve {
	if z < 8 {
		survival := math.Erfc(z/math.Sqrt2) / 2
		h := math.Exp(-z*z/2-halfLn2Pi) / survival
		return curve{math.Log(survival), -h, h * (h - z)}
	}
	over := 0.0
	for k := 50.0; k >= 1; k-- {
		over = k / (z + over)
	}
	h := z + over
	return curve{-z*z/2 - halfLn2Pi - math.Log(h), -h, h * over}
}

func extremeDensity(z float64) curve {
	e := math.Exp(z + lnLn2)
	return curve{z + lnLn2 - e, 1 - e, e}
}

func extremeSurvival(z float64) curve {
	e := math.Exp(z + lnLn2)
	return curve{-e, -e, e}
}
