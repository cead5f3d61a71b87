package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// HalfWidth returns how far the t interval of the mean of n values (TInterval) reaches
// to either side at most, in so many of all samples as chance says,
//
//	h = t(1-(1-level)/2; n-1) sd sqrt(χ²(chance; n-1) / (n (n-1))),
//
// χ² and t quantiles, sd the true spread of normal values; with sd as a share of the
// mean, so is h. The interval of a sample is as wide as its own spread happens to be:
// with the plain t sd/sqrt(n), four in ten samples of four come out wider.
//
// The error wraps ErrDesign for n < 2 or sd <= 0, or ErrLevel unless level and chance
// lie between 0 and 1.
//
// Source: t interval, ISO 2602; the quantile of its width, Kupper and Hafner (1989), The
// American Statistician 43, 101-105 (both from memory; it follows from s² ~ sd² χ²/(n-1)).
func HalfWidth(n int, sd, level, chance float64) (float64, error) {
	if n < 2 || !(sd > 0) || math.IsInf(sd, 1) {
		return 0, fmt.Errorf("limits of the mean of %d with a spread of %v: %w", n, sd, ErrDesign)
	}
	if !(chance > 0 && chance < 1) {
		return 0, fmt.Errorf("a chance of %v: %w", chance, ErrLevel)
	}
	df := float64(n - 1)
	t, err := TQuantile(1-(1-level)/2, df)
	if err != nil {
		return 0, err
	}
	return inRange(t * sd * math.Sqrt(distuv.ChiSquared{K: df}.Quantile(chance)/df/float64(n)))
}

// SampleSizeMean returns the least n whose HalfWidth is within or less. t and χ² depend
// on n themselves, so it is looked for, not solved.
//
// The error wraps ErrDesign unless within is above zero, ErrRange above ten million, or
// is that of HalfWidth.
func SampleSizeMean(within, sd, level, chance float64) (int, error) {
	if !(within > 0) {
		return 0, fmt.Errorf("a mean within %v: %w", within, ErrDesign)
	}
	var err error
	n := leastWhole(func(n float64) bool {
		h := 0.0
		if err == nil {
			h, err = HalfWidth(int(n), sd, level, chance)
		}
		return err != nil || h <= within
	})
	switch {
	case err != nil:
		return 0, err
	case n >= most:
		return 0, ErrRange
	}
	return int(n), nil
}
