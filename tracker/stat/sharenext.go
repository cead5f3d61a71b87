package stat

import "math"

// ShareNext says what a share seen as x of n foretells of the next m: how many to expect, and the
// number that is not exceeded with the given confidence (0.9). The true share is taken to be
// Beta(x+1/2, n-x+1/2) (Jeffreys' prior), so that the number is beta-binomial.
//
// The error is that of Proportion; ErrCount also for m < 0.
func ShareNext(x, n, m int, confidence float64) (expected float64, most int, err error) {
	if err := checkShare(x, n, confidence); err != nil {
		return 0, 0, err
	}
	if m < 0 {
		return 0, 0, ErrCount
	}
	a, b := float64(x)+0.5, float64(n-x)+0.5
	sum := 0.0
	for most = 0; most < m; most++ {
		if sum += betaBinomial(most, m, a, b); sum >= confidence {
			break
		}
	}
	return float64(m) * a / (a + b), most, nil
}

// betaBinomial is the chance of y of m where the share is Beta(a, b).
func betaBinomial(y, m int, a, b float64) float64 {
	return math.Exp(lnChoose(m, y) + lnBeta(float64(y)+a, float64(m-y)+b) - lnBeta(a, b))
}

func lnBeta(a, b float64) float64 {
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	return la + lb - lab
}
