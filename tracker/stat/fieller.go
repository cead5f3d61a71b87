package stat

import (
	"errors"
	"fmt"
	"math"
)

// ErrZeroMean means a ratio whose denominator has a mean of zero.
var ErrZeroMean = errors.New("the mean of the denominator is zero")

// A FiellerShape is what the set of ratios that agree with the data looks like.
type FiellerShape int

const (
	Bounded    FiellerShape = iota // an interval
	Outside                        // everything except an interval: two rays
	Everything                     // no ratio can be ruled out
)

// String says the shape in plain words.
func (s FiellerShape) String() string {
	switch s {
	case Bounded:
		return "between two limits"
	case Outside:
		return "anything outside an interval: the denominator is not clear of zero"
	case Everything:
		return "no limit at all: any ratio agrees with these values"
	}
	return fmt.Sprintf("shape %d", int(s))
}

// A FiellerRatio is a ratio of two means with the set of ratios that agree
// with the data. Limits is nil unless Shape is Bounded.
type FiellerRatio struct {
	Estimate
	Shape    FiellerShape
	Excluded *Limits // for Outside only: the ratios ruled out, all others agree
}

// Fieller returns mean(num)/mean(den) of two independent samples, and all
// ratios ρ for which mean(num) - ρ mean(den) does not differ from zero,
//
//	(r ± t sqrt(vn + r² vd - g vn)) / (1 - g),   g = t² vd,
//
// r the ratio, vn and vd the variances of the two means over the square of
// the denominator's. The spreads may differ: each sample brings its own, and
// t has Welch's degrees of freedom at the ratio seen,
//
//	df = (vn + r² vd)² / (vn²/(nn-1) + r⁴ vd²/(nd-1)).
//
// When g reaches 1 the denominator is not clear of zero and the set is no
// interval (see FiellerShape). SE is that of the ratio by the delta method.
// Fewer than two values on a side bound nothing and give a warning.
//
// The error wraps ErrNoData, ErrNotFinite, ErrZeroMean, ErrLevel or ErrRange.
//
// Source: Fieller (1954), J. R. Stat. Soc. B 16, 175-185. Check: R, mratios.
func Fieller(num, den []float64, level float64) (FiellerRatio, error) {
	mn, vn, err := meanVariance(num)
	if err != nil {
		return FiellerRatio{}, fmt.Errorf("numerator: %w", err)
	}
	md, vd, err := meanVariance(den)
	if err != nil {
		return FiellerRatio{}, fmt.Errorf("denominator: %w", err)
	}
	if md == 0 {
		return FiellerRatio{}, ErrZeroMean
	}
	f := FiellerRatio{Estimate: Estimate{Value: mn / md, N: len(num) + len(den), Method: "ratio of means, Fieller, Welch"}}
	if _, err := inRange(f.Value); err != nil {
		return FiellerRatio{}, err
	}
	if len(num) < 2 || len(den) < 2 {
		f.Shape, f.Warnings = Everything, []string{"fewer than two values on one side: no interval"}
		return f, nil
	}
	// One after the other: the square of a small mean can vanish.
	vn, vd = vn/md/md, vd/md/md
	df := fiellerDF(f.Value, vn, vd, len(num), len(den))
	t, err := TQuantile(1-(1-level)/2, df)
	if err != nil {
		return FiellerRatio{}, err
	}
	f.DF, f.SE = df, math.Sqrt(vn+f.Value*f.Value*vd)
	return f.solve(vn, vd, t)
}

// fiellerDF is Welch's for the difference of the numerator and r denominators.
func fiellerDF(r, vn, vd float64, nn, nd int) float64 {
	sum := vn + r*r*vd
	if !(sum > 0) {
		return float64(nn + nd - 2)
	}
	p, q := vn/sum, r*r*vd/sum
	return 1 / (p*p/float64(nn-1) + q*q/float64(nd-1))
}

// solve finds where (1-g)ρ² - 2rρ + r² - t² vn, which is negative for the
// ratios that agree, changes its sign.
func (f FiellerRatio) solve(vn, vd, t float64) (FiellerRatio, error) {
	r, g := f.Value, t*t*vd
	under := vn + r*r*vd - g*vn
	if checkFinite([]float64{r, g, under, f.SE}) != nil {
		return FiellerRatio{}, ErrRange
	}
	// At g = 1 the set is a half-line; nothing finite is lost by saying all.
	if g == 1 || g > 1 && under <= 0 {
		return f.unbounded(Everything, nil), nil
	}
	half := t * math.Sqrt(max(0, under))
	limits := Limits{(r - half) / (1 - g), (r + half) / (1 - g)}
	if checkFinite([]float64{limits.Low, limits.High}) != nil {
		return FiellerRatio{}, ErrRange
	}
	if g > 1 {
		return f.unbounded(Outside, &Limits{limits.High, limits.Low}), nil
	}
	f.Limits = &limits
	if f.SE == 0 {
		f.Warnings = append(f.Warnings, "all values are equal: the interval has no width and means little")
	}
	return f, nil
}

func (f FiellerRatio) unbounded(shape FiellerShape, excluded *Limits) FiellerRatio {
	f.Shape, f.Excluded, f.DF, f.SE = shape, excluded, 0, 0
	f.Warnings = append(f.Warnings, "the mean of the denominator is not clear of zero: the ratio has no interval")
	return f
}
