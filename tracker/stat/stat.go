// Package stat makes estimates from small samples. It knows no wood: values
// are plain numbers in any unit, and a result is in the same unit.
//
// Two rules run through it. Too little data is not an error: the estimate
// comes back without limits and with a warning that travels with the number.
// Impossible data (none at all, not a number, a logarithm of zero) is an
// error. No function panics, and none returns NaN or an infinity.
package stat

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

// Errors that data can cause. Those returned wrap one of these.
var (
	ErrNoData      = errors.New("no values")
	ErrNotFinite   = errors.New("a value is not a finite number")
	ErrNotPositive = errors.New("a value is not above zero")
	ErrOneValue    = errors.New("one value has no spread")
	ErrUnpaired    = errors.New("the two samples are not of one length")
	ErrRange       = errors.New("the result is too large or too small to be held")
	ErrLevel       = errors.New("a confidence level lies between 0 and 1")
)

// Limits are the two ends of an interval, both inclusive.
type Limits struct{ Low, High float64 }

// An Estimate is a number with what it is worth.
type Estimate struct {
	Value    float64
	Limits   *Limits  // nil when the data are too few for any
	N        int      // values it rests on, pairs counted once
	DF       float64  // degrees of freedom; zero without limits
	SE       float64  // standard error on the scale of Method; zero without limits
	Method   string   // how it was made, in words for a report
	Warnings []string // what weakens it; nil when nothing does
}

// Mean returns the arithmetic mean. The sum is compensated, so values with a
// large common part keep their digits.
//
// The error is ErrNoData, ErrNotFinite or ErrRange.
func Mean(xs []float64) (float64, error) {
	if err := checkFinite(xs); err != nil {
		return 0, err
	}
	return inRange(floats.SumCompensated(xs) / float64(len(xs)))
}

// SD returns the standard deviation with n-1 in the denominator,
//
//	s = sqrt((Σ dᵢ² - (Σ dᵢ)²/n) / (n-1)),   dᵢ = xᵢ - mean,
//
// in two passes: the second sum would be zero in exact arithmetic and takes
// away the rounding of the mean. The one-pass formula fails when the spread is
// small beside the mean.
//
// The error is ErrNoData, ErrNotFinite, ErrRange, or ErrOneValue for n = 1.
//
// Source: Chan, Golub and LeVeque (1983), The American Statistician 37, 242-247.
func SD(xs []float64) (float64, error) {
	mean, err := Mean(xs)
	if err != nil {
		return 0, err
	}
	if len(xs) == 1 {
		return 0, ErrOneValue
	}
	squares, rest := 0.0, 0.0
	for _, x := range xs {
		squares += (x - mean) * (x - mean)
		rest += x - mean
	}
	n := float64(len(xs))
	return inRange(math.Sqrt(max(0, squares-rest*rest/n) / (n - 1)))
}

// TQuantile returns the p quantile of Student's t with df degrees of freedom,
// for 0 < p < 1 and df > 0 (df may be a fraction); ErrLevel otherwise.
func TQuantile(p, df float64) (float64, error) {
	if !(p > 0 && p < 1) || !(df > 0) || math.IsInf(df, 1) {
		return 0, fmt.Errorf("t quantile at %v with %v degrees of freedom: %w", p, df, ErrLevel)
	}
	if df > 1000 {
		return inRange(farT(distuv.UnitNormal.Quantile(p), df))
	}
	return inRange(distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(p))
}

// farT expands Student's t about the normal quantile z. The library's inverse
// of the incomplete beta function loses digits at many degrees of freedom
// (four are left at 1e12); three terms here are good to 1e-12 above 1000.
//
// Source: Abramowitz and Stegun (1964), 26.7.5.
func farT(z, df float64) float64 {
	z2 := z * z
	g1 := z * (z2 + 1) / 4
	g2 := z * ((5*z2+16)*z2 + 3) / 96
	g3 := z * (((3*z2+19)*z2+17)*z2 - 15) / 384
	return z + (g1+(g2+g3/df)/df)/df
}

// TInterval returns the mean with its two-sided t interval at level (0.95),
//
//	mean ± t(1-(1-level)/2, n-1) s/sqrt(n).
//
// One value gives no limits and a warning.
func TInterval(xs []float64, level float64) (Estimate, error) {
	mean, err := Mean(xs)
	if err != nil {
		return Estimate{}, err
	}
	e := Estimate{Value: mean, N: len(xs), Method: "mean with t interval"}
	if len(xs) == 1 {
		e.Warnings = []string{"one value: no interval"}
		return e, nil
	}
	s, err := SD(xs)
	if err != nil {
		return Estimate{}, err
	}
	return e.around(mean, s/math.Sqrt(float64(e.N)), float64(e.N-1), level, same)
}

// same leads from the scale of the arithmetic to that of the result when they are one.
func same(x float64) float64 { return x }

// around adds the limits back(centre ± t se) with df degrees of freedom.
func (e Estimate) around(centre, se, df, level float64, back func(float64) float64) (Estimate, error) {
	t, err := TQuantile(1-(1-level)/2, df)
	if err != nil {
		return Estimate{}, err
	}
	limits := Limits{back(centre - t*se), back(centre + t*se)}
	if err := checkFinite([]float64{limits.Low, limits.High}); err != nil {
		return Estimate{}, ErrRange
	}
	e.Limits, e.SE, e.DF = &limits, se, df
	if se == 0 {
		e.Warnings = append(e.Warnings, "all values are equal: the interval has no width and means little")
	}
	return e, nil
}

// checkFinite refuses an empty sample and values that are not numbers.
func checkFinite(xs []float64) error {
	if len(xs) == 0 {
		return ErrNoData
	}
	for i, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("value %d: %w", i+1, ErrNotFinite)
		}
	}
	return nil
}

// checkPositive refuses what has no logarithm, too.
func checkPositive(xs []float64) error {
	if err := checkFinite(xs); err != nil {
		return err
	}
	for i, x := range xs {
		if x <= 0 {
			return fmt.Errorf("value %d: %w", i+1, ErrNotPositive)
		}
	}
	return nil
}

func inRange(x float64) (float64, error) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, ErrRange
	}
	return x, nil
}
