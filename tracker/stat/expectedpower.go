package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// A Finder is a comparison of K groups of N values each, whose scatter on the scale of
// logarithms was measured before: S with DF degrees of freedom.
type Finder struct {
	N, K  int
	S, DF float64
}

// Power is the chance that one pair planned beforehand is found, in the right direction, at
// the two-sided alpha, if its true medians stand in the ratio and S is the true scatter,
//
//	P(T > t(1-alpha/2)),   noncentral T with δ = ln ratio / (S sqrt(2/N)) and K(N-1) degrees of freedom.
//
// The error wraps ErrDesign for N or K < 2, S or DF not above zero or a ratio not above 1, or ErrLevel.
func (f Finder) Power(ratio, alpha float64) (float64, error) {
	return f.over(ratio, alpha, func(power func(w float64) float64) float64 { return power(1) })
}

// Expected is the mean of Power over the true scatters that S leaves open, S sqrt(DF/χ²(DF)):
// what to plan by, since a scatter measured with few degrees of freedom may be much too small.
// Its errors are those of Power.
//
// Source: O'Hagan, Stevens and Campbell (2005), Pharmaceutical Statistics 4, 187-201, assurance (from memory).
func (f Finder) Expected(ratio, alpha float64) (float64, error) {
	return f.over(ratio, alpha, f.mean)
}

// over takes a mean of the power by w, the measured scatter over the true one.
func (f Finder) over(ratio, alpha float64, mean func(power func(w float64) float64) float64) (float64, error) {
	if f.N < 2 || f.K < 2 || !(f.S > 0) || !(f.DF > 0) || math.IsInf(f.S+f.DF, 1) || !(ratio > 1) {
		return 0, fmt.Errorf("a ratio of %v between %d groups of %d with a spread of %v (%v degrees of freedom): %w", ratio, f.K, f.N, f.S, f.DF, ErrDesign)
	}
	if !(alpha > 0 && alpha < 1) {
		return 0, fmt.Errorf("alpha %v: %w", alpha, ErrLevel)
	}
	t, df, err := critical(f.N, f.K, alpha, false)
	if err != nil {
		return 0, err
	}
	delta := math.Log(ratio) / (f.S * math.Sqrt(2/float64(f.N)))
	return mean(func(w float64) float64 { return beyondT(t, df, min(delta*w, 1e30)) }), nil
}

// mean is that of g over w = sqrt(χ²/DF), whose density is 2 h^h/Γ(h) w^(DF-1) exp(-h w²), h = DF/2.
func (f Finder) mean(g func(w float64) float64) float64 {
	h := f.DF / 2
	gamma, _ := math.Lgamma(h)
	top := math.Ln2 + h*math.Log(h) - gamma
	weighted := func(w float64) float64 {
		return math.Exp(top+(f.DF-1)*math.Log(w)-h*w*w) * g(w)
	}
	reach := 9 / math.Sqrt(2*f.DF)
	return min(1, quad.Fixed(weighted, max(0, 1-reach), 1+reach, nodes, quad.Legendre{}, 0))
}

// Ratio is the least ratio that Expected finds with the power. Its errors are those of
// Expected; ErrDesign also unless power lies between alpha and 1, ErrRange where no ratio is
// found so often.
func (f Finder) Ratio(alpha, power float64) (float64, error) {
	if !(power > alpha && power < 1) {
		return 0, fmt.Errorf("a power of %v: %w", power, ErrDesign)
	}
	var failed error
	log, err := leastWith(power, f.S, 1e-8, func(d float64) float64 {
		p, err := f.Expected(math.Exp(d), alpha)
		if err != nil {
			failed, p = err, 1
		}
		return p
	})
	if failed != nil {
		return 0, failed
	}
	if err != nil {
		return 0, err
	}
	return inRange(math.Exp(log))
}

// Replicates is the least number of each, up to most, whose expected power for the ratio
// reaches power; 0 where none does. Its errors are those of Expected.
func (f Finder) Replicates(ratio, alpha, power float64, most int) (int, error) {
	for f.N = 2; f.N <= most; f.N++ {
		p, err := f.Expected(ratio, alpha)
		if err != nil {
			return 0, err
		}
		if p >= power {
			return f.N, nil
		}
	}
	return 0, nil
}
