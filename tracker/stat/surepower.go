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
	delta, err := leastWith(power, 1, 1e-9, ownPower(n, single(alpha, k)))
	if err != nil {
		return 0, err
	}
	own, err := inRange(math.Exp(delta * cv * math.Sqrt(2/float64(n))))
	return max(together, own), err
}

// ownPower gives the chance that ownP of two groups of n with one true spread is under
// p, in the right direction, by how many standard errors delta their means lie apart.
// With w and 1-w the shares of their two variances in the sum, which do not depend on it,
//
//	∫ f(w) P(T > t(1-p/2; (n-1)/(w²+(1-w)²))) dw,   f the density of Beta((n-1)/2, (n-1)/2),
//
// T noncentral t with 2n-2 degrees of freedom. It runs over θ, w = sin² θ, where f is
// smooth; the t of each θ is worked out once.
func ownPower(n int, p float64) func(delta float64) float64 {
	m := float64(n - 1)
	var theta, weight, least [24]float64
	quad.Legendre{}.FixedLocations(theta[:], weight[:], 0, math.Pi/4)
	sum := 0.0
	for i, x := range theta {
		w := math.Sin(x) * math.Sin(x)
		weight[i] *= math.Pow(math.Sin(2*x), m-1)
		least[i] = tAt(math.Log(p), m/(w*w+(1-w)*(1-w)))
		sum += weight[i]
	}
	return func(delta float64) (chance float64) {
		for i, t := range least {
			chance += weight[i] / sum * beyondT(t, 2*m, delta)
		}
		return chance
	}
}
