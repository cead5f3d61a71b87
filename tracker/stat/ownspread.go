package stat

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// A scatter is a group seen with its own spread: its mean, the variance of that
// mean, and how many values it is worth. n = 0: none.
type scatter struct{ mean, variance, n float64 }

// resolved takes the mean to be known no better than to a uniform error of one division
// of the gauge. Without a division a variance that is only rounding is none.
func (s scatter) resolved(division float64) scatter {
	if s.variance < noSpread {
		s.variance = 0
	}
	s.variance = max(s.variance, division*division/12)
	return s
}

// noSpread is up to what variance logarithms of equal values may have by rounding.
const noSpread = 1e-24

// ownP is the two-sided p value of a pair by its own two spreads: Welch's t, the
// degrees of freedom at most twice those of the smaller group. Where one of them
// is worth less than three values and the other more, it is the level at which
//
//	d² = t²(nA-1) vA + t²(nB-1) vB,   v = s²/n,
//
// t two-sided. That never errs more often than it says: with wA + wB = 1 the shares
// of the true variance, P(χ² <= tA² wA UA + tB² wB UB), U = s²/σ², is at least the
// same mean of the two P(χ² <= t² U) = 1 - p, because the distribution of χ² with
// one degree is concave. Of less than two values, or where one has no spread, it is 1.
//
// Source: Welch (1947), Biometrika 34, 28-35; Banerjee (1960), Sankhya 22, 357-358
// (from memory; the proof above stands by itself). The cap on the degrees of freedom
// is ours, by simulation (TestJudgeKeepsItsLevel).
func ownP(a, b scatter) float64 {
	d := math.Abs(a.mean - b.mean)
	switch {
	case min(a.n, b.n) < 2 || !spreads(a, b) || d == 0:
		return 1
	case unlike(a, b):
		return banerjee(d, a, b)
	}
	return twoTails(d/math.Sqrt(a.variance+b.variance), ownDF(a, b))
}

// spreads reports whether both have a spread of their own.
func spreads(a, b scatter) bool { return a.variance > 0 && b.variance > 0 }

// unlike reports that one has too few values for Welch's beside the other.
func unlike(a, b scatter) bool { return min(a.n, b.n) < 3 && a.n != b.n }

func ownDF(a, b scatter) float64 {
	p, q := a.variance/(a.variance+b.variance), b.variance/(a.variance+b.variance)
	return min(1/(p*p/(a.n-1)+q*q/(b.n-1)), 2*(min(a.n, b.n)-1))
}

// ownHalf is the difference at which ownP is p, 0 < p < 1, of two that spread; n from
// two up.
func ownHalf(a, b scatter, p float64) float64 {
	l := math.Log(p)
	if unlike(a, b) {
		return math.Hypot(tAt(l, a.n-1)*math.Sqrt(a.variance), tAt(l, b.n-1)*math.Sqrt(b.variance))
	}
	return tAt(l, ownDF(a, b)) * math.Sqrt(a.variance+b.variance)
}

// banerjee solves for the logarithm of the level. It lies between those of
// Student's t with the fewer and with the more degrees of freedom.
func banerjee(d float64, a, b scatter) float64 {
	t := d / math.Sqrt(a.variance+b.variance)
	low, high := math.Log(twoTails(t, max(a.n, b.n)-1)), math.Log(twoTails(t, min(a.n, b.n)-1))
	return math.Exp(falling(low, high, func(l float64) float64 {
		return math.Log(math.Pow(tAt(l, a.n-1), 2)*a.variance+math.Pow(tAt(l, b.n-1), 2)*b.variance) - 2*math.Log(d)
	}))
}

// twoTails is the chance of Student's t beyond t on either side, for t >= 0. It
// keeps its digits where the chance is small.
func twoTails(t, df float64) float64 { return mathext.RegIncBeta(df/2, 0.5, df/(df+t*t)) }

// tAt is the t that is exceeded on either side with the chance exp(l) in all, found
// on its logarithm.
func tAt(l, df float64) float64 {
	above := func(x float64) float64 { return math.Log(twoTails(math.Exp(x), df)) - l }
	low, high := -40.0, 1.0
	for above(high) > 0 && high < 300 {
		low, high = high, 2*high
	}
	return math.Exp(falling(low, high, above))
}

// falling finds where a falling f crosses zero between low and high: false
// position, with the end that stays put weighed down.
//
// Source: the Illinois method, Dowell and Jarratt (1971), BIT 11, 168-174 (from memory).
func falling(low, high float64, f func(float64) float64) float64 {
	fl, fh, stayed := f(low), f(high), 0
	if fl <= 0 {
		return low
	}
	if fh >= 0 {
		return high
	}
	x := high
	for range 200 {
		x = (low*fh - high*fl) / (fh - fl)
		if !(x > low && x < high) {
			x = low/2 + high/2
		}
		fx := f(x)
		if math.Abs(fx) < 1e-13 || high-low < 1e-13*(1+math.Abs(x)) {
			break
		}
		if fx > 0 {
			low, fl = x, fx
			fh, stayed = weigh(fh, stayed, 1)
		} else {
			high, fh = x, fx
			fl, stayed = weigh(fl, stayed, -1)
		}
	}
	return x
}

// weigh halves the height of an end that stayed put twice.
func weigh(height float64, stayed, side int) (float64, int) {
	if stayed == side {
		height /= 2
	}
	return height, side
}
