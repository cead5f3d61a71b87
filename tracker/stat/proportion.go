package stat

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ErrCount means a count below zero or above the number it is a share of, or
// a share of none.
var ErrCount = errors.New("a share is of one or more, and counts from none to all of them")

// Proportion returns the share k/n with its exact two-sided interval at level
// (Clopper-Pearson). The limits are quantiles of beta distributions,
//
//	low = B(a/2; k, n-k+1),   high = B(1-a/2; k+1, n-k),   a = 1-level,
//
// with low = 0 for k = 0 and high = 1 for k = n. It covers the true share at
// least as often as level says, so with few it is wide. SE and DF stay zero:
// the interval does not come from a standard error.
//
// The error is ErrCount unless 0 <= k <= n and n >= 1, or ErrLevel.
//
// Source: Clopper and Pearson (1934), Biometrika 26, 404-413.
func Proportion(k, n int, level float64) (Estimate, error) {
	if err := checkShare(k, n, level); err != nil {
		return Estimate{}, err
	}
	tail := (1 - level) / 2
	return Estimate{
		Value:  float64(k) / float64(n),
		Limits: &Limits{shareLow(k, n, tail), shareHigh(k, n, tail)},
		N:      n,
		Method: "share, exact interval (Clopper-Pearson)",
	}, nil
}

// ProportionAtMost returns the one-sided upper limit of a share seen as k of
// n: with the given confidence (0.95) the true share is at most this. For
// k = 0 it is 1 - (1-confidence)^(1/n). The errors are those of Proportion.
func ProportionAtMost(k, n int, confidence float64) (float64, error) {
	if err := checkShare(k, n, confidence); err != nil {
		return 0, err
	}
	return shareHigh(k, n, 1-confidence), nil
}

// SurvivorsShown returns the share of which n survivors out of n show, with
// the given confidence, that at least so many would survive,
//
//	(1-confidence)^(1/n).
//
// None show nothing: the result is 0 for n < 1, and for a confidence that
// does not lie between 0 and 1.
func SurvivorsShown(n int, confidence float64) float64 {
	if checkShare(n, n, confidence) != nil {
		return 0
	}
	return math.Pow(1-confidence, 1/float64(n))
}

func checkShare(k, n int, level float64) error {
	if n < 1 || k < 0 || k > n {
		return fmt.Errorf("%d of %d: %w", k, n, ErrCount)
	}
	// A level so near 1 that nothing is left over it has no limits.
	if !(level > 0 && level < 1) || 1-level <= 0 {
		return fmt.Errorf("a level of %v: %w", level, ErrLevel)
	}
	return nil
}

// shareHigh is the share at which k or fewer of n would come out only in the
// part tail of all trials; shareLow is the same seen from the other side.
func shareHigh(k, n int, tail float64) float64 {
	if k == n {
		return 1
	}
	if k == 0 {
		return -math.Expm1(math.Log(tail) / float64(n))
	}
	return betaQuantile(1-tail, float64(k)+1, float64(n-k))
}

func shareLow(k, n int, tail float64) float64 {
	if k == 0 {
		return 0
	}
	if k == n {
		return math.Pow(tail, 1/float64(n))
	}
	return betaQuantile(tail, float64(k), float64(n-k)+1)
}

// betaQuantile halves the interval until no number lies between its ends. The
// library's own inverse loses digits (see farT); its distribution does not.
func betaQuantile(p, a, b float64) float64 {
	low, high := 0.0, 1.0
	for {
		middle := (low + high) / 2
		if !(low < middle && middle < high) {
			return middle
		}
		if mathext.RegIncBeta(a, b, middle) < p {
			low = middle
		} else {
			high = middle
		}
	}
}
