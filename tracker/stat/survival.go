package stat

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Step is one fall of a survival curve: the curve has this height from At on.
type Step struct {
	At             float64
	AtRisk, Events int     // still there just below At, and those that went at it
	Survival       float64 // the share that exceeds At
	SE             float64 // Greenwood's; zero where Survival is
	Limits         *Limits // pointwise; nil where Survival is zero
}

// KaplanMeier returns the product-limit estimate of the share that exceeds a
// value, one step for each distinct exact value in rising order,
//
//	S(x) = Π (1 - dᵢ/nᵢ)   over all exact values xᵢ <= x,
//
// with dᵢ exact values among nᵢ observations still there just below xᵢ. A
// bound equal to an exact value counts as still there. The standard error is
// Greenwood's, S sqrt(Σ dᵢ/(nᵢ(nᵢ-dᵢ))), and the limits at level (0.95) keep
// within 0 and 1,
//
//	S^exp(± z se),   se = sqrt(Σ dᵢ/(nᵢ(nᵢ-dᵢ))) / |ln S|.
//
// They hold for each step by itself, and with few values less often than
// level says. Bounds alone give no step: the curve stays at 1.
//
// The error wraps ErrNoData, ErrNotFinite, ErrBound or ErrLevel.
//
// Source: Kaplan and Meier (1958), J. Am. Stat. Assoc. 53, 457-481. Check: R,
// survfit with conf.type "log-log".
func KaplanMeier(obs []Observation, level float64) ([]Step, error) {
	if !(level > 0 && level < 1) {
		return nil, fmt.Errorf("a level of %v: %w", level, ErrLevel)
	}
	values := make([]float64, len(obs))
	for i, o := range obs {
		values[i] = o.Value
	}
	if err := errors.Join(checkFinite(values), checkBounds(obs, []Bound{Exact, AtLeast})); err != nil {
		return nil, err
	}
	z := distuv.UnitNormal.Quantile((1 + level) / 2)
	steps := falls(obs)
	share, greenwood := 1.0, 0.0
	for i := range steps {
		n, d := float64(steps[i].AtRisk), float64(steps[i].Events)
		share *= 1 - d/n
		if d < n {
			greenwood += d / n / (n - d)
		}
		steps[i] = steps[i].at(share, math.Sqrt(greenwood), z)
	}
	return steps, nil
}

// falls counts the events at each exact value and those at risk of them.
func falls(obs []Observation) (steps []Step) {
	sorted := slices.Clone(obs)
	slices.SortFunc(sorted, func(a, b Observation) int {
		switch {
		case a.Value < b.Value, a.Value == b.Value && a.Bound == Exact && b.Bound != Exact:
			return -1
		case a.Value > b.Value, a.Value == b.Value && a.Bound != Exact && b.Bound == Exact:
			return 1
		}
		return 0
	})
	for i, o := range sorted {
		last := len(steps) - 1
		switch {
		case o.Bound != Exact:
		case last >= 0 && steps[last].At == o.Value:
			steps[last].Events++
		default:
			steps = append(steps, Step{At: o.Value, AtRisk: len(sorted) - i, Events: 1})
		}
	}
	return steps
}

// at gives the step its height, and limits if the curve is still off the floor.
func (s Step) at(share, relative, z float64) Step {
	s.Survival = share
	if share <= 0 {
		return s
	}
	s.SE = share * relative
	stretch := math.Exp(z * relative / -math.Log(share))
	s.Limits = &Limits{math.Pow(share, stretch), math.Pow(share, 1/stretch)}
	return s
}

// MedianSurvival returns where a curve of KaplanMeier, and its lower and
// upper limits, first fall to one half; nil for each that does not. These ends
// are limits of the median at the level of the steps. A curve that lies at one
// half between two steps gives the middle of the two.
//
// Source: Brookmeyer and Crowley (1982), Biometrics 38, 29-41. Check: R,
// quantile of survfit.
func MedianSurvival(steps []Step) (value, low, high *float64) {
	value = halfAt(steps, func(s Step) (float64, bool) { return s.Survival, true })
	low = halfAt(steps, func(s Step) (float64, bool) {
		if s.Limits == nil {
			return 0, false
		}
		return s.Limits.Low, true
	})
	high = halfAt(steps, func(s Step) (float64, bool) {
		if s.Limits == nil {
			return 0, false
		}
		return s.Limits.High, true
	})
	return value, low, high
}

// halfAt returns the first place where a height is at most one half. Products
// of fractions meet one half only within rounding.
func halfAt(steps []Step, height func(Step) (float64, bool)) *float64 {
	const rounding = 1e-12
	for i, s := range steps {
		h, known := height(s)
		if !known || h > 0.5+rounding {
			continue
		}
		at := s.At
		if h > 0.5-rounding && i+1 < len(steps) {
			at = at/2 + steps[i+1].At/2
		}
		return &at
	}
	return nil
}
