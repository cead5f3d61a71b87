package stat

import (
	"fmt"
	"math"
)

// LowerBound returns the lower confidence bound for the median of a log-normal
// of which only lower bounds cᵢ are known, with cv the standard deviation of
// logarithms taken for granted (0.14 is 14 %): the m with
//
//	Π (1 - Φ((ln cᵢ - ln m)/cv)) = 1 - confidence.
//
// Were the median lower, so many values at or above their bounds would be
// rarer than 1 - confidence. There is no upper bound and no estimate.
//
// The error wraps ErrNoData, ErrNotFinite, ErrNotPositive (a bound or cv),
// ErrLevel or ErrRange.
func LowerBound(atLeast []float64, cv, confidence float64) (float64, error) {
	if err := checkPositive(atLeast); err != nil {
		return 0, err
	}
	if err := checkPositive([]float64{cv}); err != nil {
		return 0, fmt.Errorf("standard deviation of logarithms: %w", err)
	}
	if !(confidence > 0 && confidence < 1) {
		return 0, ErrLevel
	}
	// All is counted in units of cv from the first bound.
	first := math.Log(atLeast[0])
	zs := make([]float64, len(atLeast))
	for i, c := range atLeast {
		zs[i] = (math.Log(c) - first) / cv
	}
	return positive(math.Exp(first + cv*lowest(zs, math.Log1p(-confidence))))
}

// lowest solves Σ ln(1 - Φ(zᵢ - x)) = target by bisection; the sum rises with x.
func lowest(zs []float64, target float64) float64 {
	low, high := -1.0, 1.0
	for survivors(zs, low) > target {
		low *= 2
	}
	for survivors(zs, high) < target {
		high *= 2
	}
	for range 200 {
		if x := low/2 + high/2; survivors(zs, x) < target {
			low = x
		} else {
			high = x
		}
	}
	return low/2 + high/2
}

func survivors(zs []float64, x float64) (sum float64) {
	for _, z := range zs {
		sum += normalSurvival(z - x).value
	}
	return sum
}
