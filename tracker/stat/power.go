package stat

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// ErrDesign means a question about a comparison that cannot be: too few
// values or groups, a spread or a difference that is not above zero, or a
// power that is not above alpha.
var ErrDesign = errors.New("a comparison needs groups with values, a spread above zero and a power above alpha")

// most bounds SampleSizeT: nobody tests more of one kind.
const most = 10_000_000

// PowerT returns the chance that the two-sided two-sample t test with n
// values in each group and 2n-2 degrees of freedom finds a true difference of
// delta, in the right direction,
//
//	P(T > t(1-alpha/2)),   T noncentral with δ = |delta|/sd sqrt(n/2).
//
// A find in the wrong direction is not counted (the default of R's
// power.t.test), so the power at delta = 0 is alpha/2. Absolute error under
// 1e-9 for alpha up to 0.3.
//
// The error wraps ErrDesign for n < 2 or sd <= 0, ErrLevel or ErrNotFinite.
func PowerT(n int, delta, sd, alpha float64) (float64, error) {
	if err := checkFinite([]float64{delta, sd, alpha}); err != nil {
		return 0, err
	}
	if n < 2 || !(sd > 0) {
		return 0, fmt.Errorf("power with %d in each group and a spread of %v: %w", n, sd, ErrDesign)
	}
	return powerOf(float64(n), math.Abs(delta)/sd, alpha)
}

// powerOf is the power with n, which may be a fraction, above one in each of
// two groups that differ by d standard deviations.
func powerOf(n, d, alpha float64) (float64, error) {
	if !(alpha > 0 && alpha < 1) {
		return 0, fmt.Errorf("alpha %v: %w", alpha, ErrLevel)
	}
	df := 2*n - 2
	t, err := TQuantile(1-alpha/2, df)
	if err != nil {
		return 0, err
	}
	return beyondT(t, df, min(d*math.Sqrt(n/2), 1e30)), nil
}

// SampleSizeT returns how many values each of two groups needs so that PowerT
// reaches power: the exact solution, a fraction, and the least whole number.
// Two in each is the least of both.
//
// The error wraps ErrDesign unless delta and sd are above zero and power lies
// between alpha and 1, ErrLevel, ErrNotFinite, or ErrRange above ten million.
//
// Check: R 4.2.2, power.t.test.
func SampleSizeT(delta, sd, alpha, power float64) (exact float64, n int, err error) {
	if err := checkFinite([]float64{delta, sd, alpha, power}); err != nil {
		return 0, 0, err
	}
	if !(delta > 0 && sd > 0 && power > alpha && power < 1) {
		return 0, 0, fmt.Errorf("sample size for a difference of %v, a spread of %v and a power of %v: %w", delta, sd, power, ErrDesign)
	}
	reaches := func(n float64) bool {
		var p float64
		if err == nil {
			p, err = powerOf(n, delta/sd, alpha)
		}
		return p >= power
	}
	whole := leastWhole(reaches)
	exact = leastReal(reaches, whole)
	if err != nil {
		return 0, 0, err
	}
	if whole >= most {
		return 0, 0, ErrRange
	}
	return exact, int(whole), nil
}

// leastWhole returns the least whole number from 2 up that reaches, or a
// number from most up.
func leastWhole(reaches func(float64) bool) float64 {
	low, high := 1.0, 2.0
	for !reaches(high) && high < most {
		low, high = high, 2*high
	}
	for high-low > 1 {
		if middle := math.Floor((low + high) / 2); reaches(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// leastReal returns the least fraction that reaches, at most one under whole.
func leastReal(reaches func(float64) bool, whole float64) float64 {
	low, high := max(2, whole-1), whole
	for high-low > 1e-12*high {
		if middle := (low + high) / 2; reaches(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// beyondT returns P(T > t) for noncentral T = (Z + delta)/S, S² = χ²/df and
// t, delta >= 0. Few degrees of freedom spread S widely, and the integral runs
// over Z; many narrow it, and the integral runs over S. Each leaves the other
// factor smooth beside the nodes. Infinite df is the normal.
func beyondT(t, df, delta float64) float64 {
	switch {
	case t == 0 || math.IsInf(df, 1):
		return normalCDF(delta - t)
	case df > 60:
		return min(1, overSpread(df, func(s float64) float64 { return normalCDF(delta - t*s) }))
	}
	f := func(z float64) float64 {
		x := (z + delta) / t
		return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * mathext.GammaIncReg(df/2, df/2*x*x)
	}
	return min(1, integral(f, max(-9, -delta), 9))
}

// integral adds up four Legendre rules side by side.
func integral(f func(float64) float64, low, high float64) (sum float64) {
	const parts = 4
	width := (high - low) / parts
	for i := range parts {
		from := low + float64(i)*width
		sum += quad.Fixed(f, from, from+width, nodes, quad.Legendre{}, 0)
	}
	return sum
}

// overSpread returns the mean of f(S), S² = χ²/df, for many degrees of
// freedom. The density of S = 1+u is written about its top with Stirling's
// series, so that its large terms do not cancel.
func overSpread(df float64, f func(float64) float64) float64 {
	h := df / 2
	top := math.Ln2 + math.Log(h/(2*math.Pi))/2 - (1-(1-2/(7*h*h))/(30*h*h))/(12*h)
	weighted := func(u float64) float64 {
		l := math.Log1p(u)
		return math.Exp(top-l+h*(2*l-2*u-u*u)) * f(1+u)
	}
	width := min(0.999, 9/math.Sqrt(2*df))
	return quad.Fixed(weighted, -width, width, nodes, quad.Legendre{}, 0)
}

func normalCDF(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// checkSpread refuses a comparison of k groups of n that cannot be.
func checkSpread(n, k int, cv float64) error {
	if n < 1 || k < 2 || !(cv > 0) || math.IsInf(cv, 1) {
		return fmt.Errorf("%d groups of %d with a spread of %v: %w", k, n, cv, ErrDesign)
	}
	return nil
}

// known stands for infinite degrees of freedom in the studentised range; its
// 95 % points there are 3 in a million too wide.
const known = 1e6

// critical returns what the difference of two of k means must exceed, in
// standard errors of the difference, with its degrees of freedom.
func critical(n, k int, alpha float64, all bool) (c, df float64, err error) {
	if !(alpha > 0 && alpha < 1) {
		return 0, 0, fmt.Errorf("alpha %v: %w", alpha, ErrLevel)
	}
	if df = float64(k) * float64(n-1); n == 1 {
		df = math.Inf(1)
	}
	switch {
	case all:
		c, err = Studentised{K: k, DF: min(df, known)}.Quantile(1 - alpha)
		c /= math.Sqrt2
	case n == 1:
		c, err = inRange(distuv.UnitNormal.Quantile(1 - alpha/2))
	default:
		c, err = TQuantile(1-alpha/2, df)
	}
	return c, df, err
}

// LeastSignificantRatio returns how many times the larger of two of k means
// of n values each must be the smaller one to count as different,
//
//	exp(c cv sqrt(2/n)).
//
// The spread on the logarithmic scale is taken to be cv itself (the exact
// lognormal sqrt(ln(1+cv²)) is 0.6 % less at 15 %). The critical c is
// t(1-alpha/2) for one pair planned beforehand, or with all, for every pair at
// once, Tukey's q(1-alpha; k)/sqrt 2; both with k(n-1) degrees of freedom, the
// spread pooled over the k groups (k = 2 for two alone). With n = 1 the cv is
// borrowed from elsewhere and counts as known.
//
// The error wraps ErrDesign for n < 1, k < 2 or cv <= 0, ErrLevel or ErrRange.
func LeastSignificantRatio(n, k int, cv, alpha float64, all bool) (float64, error) {
	if err := checkSpread(n, k, cv); err != nil {
		return 0, err
	}
	c, _, err := critical(n, k, alpha, all)
	if err != nil {
		return 0, err
	}
	return inRange(math.Exp(c * cv * math.Sqrt(2/float64(n))))
}

// DetectableRatio returns the least ratio of two true medians that the
// comparison of LeastSignificantRatio finds, in the right direction, with the
// given power (0.8),
//
//	exp(δ cv sqrt(2/n)),   P(T > c) = power for noncentral T with δ.
//
// The errors are those of LeastSignificantRatio; ErrDesign also unless power
// lies between alpha and 1.
func DetectableRatio(n, k int, cv, alpha, power float64, all bool) (float64, error) {
	if err := checkSpread(n, k, cv); err != nil {
		return 0, err
	}
	c, df, err := critical(n, k, alpha, all)
	if err != nil {
		return 0, err
	}
	if !(power > alpha && power < 1) {
		return 0, fmt.Errorf("a power of %v: %w", power, ErrDesign)
	}
	delta, err := leastWith(power, max(c, 1), 1e-11, func(delta float64) float64 { return beyondT(c, df, delta) })
	if err != nil {
		return 0, err
	}
	return inRange(math.Exp(delta * cv * math.Sqrt(2/float64(n))))
}

// leastWith is the least delta at which a rising chance reaches a power, looked for
// from a first guess up, to a relative tolerance. ErrRange beyond 1e6.
func leastWith(power, guess, tolerance float64, chance func(delta float64) float64) (float64, error) {
	low, high := 0.0, guess
	for chance(high) < power {
		if low, high = high, 2*high; high > 1e6 {
			return 0, ErrRange
		}
	}
	for high-low > tolerance*high {
		if middle := (low + high) / 2; chance(middle) < power {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// ChanceBestLooksAhead returns the chance that of k groups that are all
// equal the best looks ahead of the second by the share ahead (0.1 for 10 %)
// or more, with n values each and cv the spread on the logarithmic scale,
//
//	k ∫ φ(x) Φ(x-d)^(k-1) dx,   d = ln(1+ahead) sqrt(n)/cv.
//
// The error wraps ErrDesign for n < 1, k < 2 or cv <= 0, or for ahead < 0.
func ChanceBestLooksAhead(k, n int, ahead, cv float64) (float64, error) {
	if err := checkSpread(n, k, cv); err != nil {
		return 0, err
	}
	if !(ahead >= 0) || math.IsInf(ahead, 1) {
		return 0, fmt.Errorf("ahead by %v: %w", ahead, ErrDesign)
	}
	d := math.Log1p(ahead) * math.Sqrt(float64(n)) / cv
	f := func(x float64) float64 {
		return math.Exp(-x*x/2) * math.Pow(normalCDF(x-d), float64(k-1))
	}
	p := float64(k) / math.Sqrt(2*math.Pi) * integral(f, -9, 9)
	return min(1, p), nil
}
