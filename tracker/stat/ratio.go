package stat

import (
	"fmt"
	"math"
)

// WelchDifference returns mean(a) - mean(b) of two independent samples whose
// spreads may differ, with standard error and degrees of freedom
//
//	se² = va + vb,   df = se⁴ / (va²/(na-1) + vb²/(nb-1)),   v = s²/n.
//
// A sample of one value gives no limits and a warning.
//
// Source: Welch (1947), Biometrika 34, 28-35.
func WelchDifference(a, b []float64, level float64) (Estimate, error) {
	ma, va, err := meanVariance(a)
	if err != nil {
		return Estimate{}, fmt.Errorf("first sample: %w", err)
	}
	mb, vb, err := meanVariance(b)
	if err != nil {
		return Estimate{}, fmt.Errorf("second sample: %w", err)
	}
	e := Estimate{Value: ma - mb, N: len(a) + len(b), Method: "difference of means, Welch"}
	return e.welch(ma-mb, [2]float64{va, vb}, [2]int{len(a), len(b)}, level, same)
}

// WelchLogRatio returns mean(wet)/mean(dry), the means arithmetic, with limits
// from the logarithm of the ratio,
//
//	R exp(± t se),   se² = CVwet²/nwet + CVdry²/ndry,
//
// and Welch's degrees of freedom with these two terms. Every value must be
// above zero. Fewer than two values on either side give no limits and a
// warning.
//
// The error wraps ErrNoData, ErrNotFinite, ErrNotPositive or ErrRange.
//
// Source: delta method, the ratio being that of ASTM D1151 (strength after exposure over original strength).
func WelchLogRatio(wet, dry []float64, level float64) (Estimate, error) {
	mw, vw, err := relative(wet)
	if err != nil {
		return Estimate{}, fmt.Errorf("numerator: %w", err)
	}
	md, vd, err := relative(dry)
	if err != nil {
		return Estimate{}, fmt.Errorf("denominator: %w", err)
	}
	ratio, err := positive(mw / md)
	if err != nil {
		return Estimate{}, err
	}
	e := Estimate{Value: ratio, N: len(wet) + len(dry), Method: "ratio of means, log interval, Welch"}
	return e.welch(math.Log(ratio), [2]float64{vw, vd}, [2]int{len(wet), len(dry)}, level, math.Exp)
}

// PairedLogRatio returns the geometric mean of wet[i]/dry[i] with
//
//	exp(m ± t(n-1) s/sqrt(n)),   m and s of ln(wet[i]/dry[i]).
//
// Every value must be above zero. One pair gives no limits and a warning.
func PairedLogRatio(wet, dry []float64, level float64) (Estimate, error) {
	if len(wet) != len(dry) {
		return Estimate{}, fmt.Errorf("%d and %d values: %w", len(wet), len(dry), ErrUnpaired)
	}
	logs := make([]float64, len(wet))
	for i := range wet {
		if err := checkPositive([]float64{wet[i], dry[i]}); err != nil {
			return Estimate{}, fmt.Errorf("pair %d: %w", i+1, err)
		}
		logs[i] = math.Log(wet[i]) - math.Log(dry[i])
	}
	e, err := TInterval(logs, level)
	if err != nil {
		return Estimate{}, err
	}
	return e.exp("geometric mean of paired ratios, t interval")
}

// exp carries an estimate from the log scale back.
func (e Estimate) exp(method string) (Estimate, error) {
	e.Method = method
	if e.Limits != nil {
		e.Limits = &Limits{math.Exp(e.Limits.Low), math.Exp(e.Limits.High)}
		if math.IsInf(e.Limits.High, 1) {
			return Estimate{}, ErrRange
		}
	} else {
		e.Warnings = []string{"one pair: no interval"}
	}
	var err error
	e.Value, err = positive(math.Exp(e.Value))
	return e, err
}

// welch adds limits with Welch's degrees of freedom from the two terms of the
// squared standard error.
func (e Estimate) welch(centre float64, v [2]float64, n [2]int, level float64, back func(float64) float64) (Estimate, error) {
	if n[0] < 2 || n[1] < 2 {
		e.Warnings = append(e.Warnings, "fewer than two values on one side: no interval")
		return e, nil
	}
	// With no spread at all any degrees of freedom do: the width is zero.
	df := float64(n[0] + n[1] - 2)
	if sum := v[0] + v[1]; sum > 0 {
		p, q := v[0]/sum, v[1]/sum
		df = 1 / (p*p/float64(n[0]-1) + q*q/float64(n[1]-1))
	}
	return e.around(centre, math.Sqrt(v[0]+v[1]), df, level, back)
}

// meanVariance returns the mean and the variance of the mean; the latter is
// zero for one value.
func meanVariance(xs []float64) (mean, variance float64, err error) {
	if mean, err = Mean(xs); err != nil || len(xs) == 1 {
		return mean, 0, err
	}
	s, err := SD(xs)
	if err != nil {
		return 0, 0, err
	}
	variance, err = inRange(s * s / float64(len(xs)))
	return mean, variance, err
}

// relative returns the mean and CV²/n of values above zero.
func relative(xs []float64) (mean, variance float64, err error) {
	if err := checkPositive(xs); err != nil {
		return 0, 0, err
	}
	if mean, err = Mean(xs); err != nil || len(xs) == 1 {
		return mean, 0, err
	}
	s, err := SD(xs)
	if err != nil {
		return 0, 0, err
	}
	cv := s / mean
	variance, err = inRange(cv * cv / float64(len(xs)))
	return mean, variance, err
}

// positive refuses a ratio that left the range of numbers at either end.
func positive(x float64) (float64, error) {
	if !(x > 0) || math.IsInf(x, 1) {
		return 0, ErrRange
	}
	return x, nil
}
