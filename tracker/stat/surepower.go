package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// SurelyDetectableRatio returns the least ratio of two true medians that Judge finds,
// in the right direction, with the given power, among k groups of n without zeros
// or bounds: the larger of DetectableRatio for all pairs and the one that the pair's
// own spreads find (ownPower). Both must find it, so this is a little too low: by the
// simulated power (TestSurelyDetectableIsFound), 80 % promised are 76 to 81.
//
// The errors are those of DetectableRatio; ErrDesign also for n = 1, which never tells
// anything apart.
func SurelyDetectableRatio(n, k int, cv, alpha, power float64) (float64, error) {
	together, err := DetectableRatio(n, k, cv, alpha, power, true)
	if err != nil {
		return 0, err
	}
	if n < 2 {
		return 0, fmt.Errorf("one value of each: %w", ErrDesign)
	}
	single := -math.Expm1(math.Log1p(-alpha) / math.Sqrt(float64(k*(k-1))/2))
	delta, err := leastWith(power, 1, 1e-9, func(delta float64) float64 { return ownPower(n, single, delta) })
	if err != nil {
		return 0, err
	}
	own, err := inRange(math.Exp(delta * cv * math.Sqrt(2/float64(n))))
	return max(together, own), err
}

// ownPower is the chance that ownP of two groups of n with one true spread is under p,
// in the right direction, their means lying delta standard errors apart. With w and
// 1-w the shares of their two variances in the sum, which do not depend on it,
//
//	∫ f(w) P(T > t(1-p/2; (n-1)/(w²+(1-w)²))) dw,   f the density of Beta((n-1)/2, (n-1)/2),
//
// T noncentral t with 2n-2 degrees of freedom. It runs over θ, w = sin² θ, where f is smooth.
func ownPower(n int, p, delta float64) float64 {
	m := float64(n - 1)
	weight := func(theta float64) float64 { return math.Pow(math.Sin(2*theta), m-1) }
	found := func(theta float64) float64 {
		w := math.Sin(theta) * math.Sin(theta)
		return weight(theta) * beyondT(tAt(math.Log(p), m/(w*w+(1-w)*(1-w))), 2*m, delta)
	}
	over := func(f func(float64) float64) float64 { return quad.Fixed(f, 0, math.Pi/4, 24, quad.Legendre{}, 0) }
	return over(found) / over(weight)
}
