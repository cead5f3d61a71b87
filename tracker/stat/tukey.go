package stat

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// ErrGroups means that a comparison needs at least two groups, and more values
// than groups.
var ErrGroups = errors.New("a comparison needs two groups or more, and a spread inside them")

// nodes of each of the two Legendre rules: with 96 all points of the table
// in testdata come out to the six digits printed.
const nodes = 96

// A Studentised is the distribution of the studentised range: the range of k
// standard normal means over an independent estimate of their standard
// deviation with df degrees of freedom.
type Studentised struct {
	K  int     // 2 or more
	DF float64 // 1 or more

	table *rangeTable // of K; nil where it would not pay
}

// CDF returns the probability of a range up to q, 1 - Beyond(q).
func (d Studentised) CDF(q float64) float64 { return 1 - d.Beyond(q) }

// Beyond returns the probability of a range wider than q,
//
//	P = ∫ f(s) (1 - W(q s)) ds,   W(w) = k ∫ φ(z) (Φ(z) - Φ(z-w))^(k-1) dz,
//
// f the density of s = sqrt(χ²/df), up to where W is one: with few degrees of
// freedom and a wide range only the smallest s count, and the nodes lie among
// them. With a whole number of degrees of freedom the error is under 1e-11 of a P of 0.05
// for one to four, 3e-7 at most for more, and 1e-4 of any P above 1e-12; between one and
// two of them up to 3e-3 of P. One for q <= 0.
//
// Source: Lund and Lund (1983), Applied Statistics 32, 204-210 (AS 190).
func (d Studentised) Beyond(q float64) float64 {
	if !(q > 0) {
		return 1
	}
	half := d.DF / 2
	lg, _ := math.Lgamma(half)
	scale := math.Ln2 + half*math.Log(half) - lg
	f := func(s float64) float64 {
		if s <= 0 {
			return 0
		}
		return math.Exp(scale+(d.DF-1)*math.Log(s)-half*s*s) * (1 - d.within(q*s))
	}
	// The density of s is about normal around 1 with spread 1/sqrt(2 df).
	width := 9 / math.Sqrt(2*d.DF)
	low, high := max(0, 1-width), min(1+width, gridEnd/q)
	if high <= low {
		return 0
	}
	return max(0, min(1, quad.Fixed(f, low, high, nodes, quad.Legendre{}, 0)))
}

// normalRange is W above: the range of k standard normals is at most w.
func (d Studentised) normalRange(w float64) float64 {
	f := func(z float64) float64 { return math.Exp(-z*z/2) * math.Pow(inside(z, w), float64(d.K-1)) }
	return float64(d.K) / math.Sqrt(2*math.Pi) * quad.Fixed(f, -8, 8, nodes, quad.Legendre{}, 0)
}

// inside is the probability of a normal between z - w and z.
func inside(z, w float64) float64 {
	return (math.Erfc(-z/math.Sqrt2) - math.Erfc((w-z)/math.Sqrt2)) / 2
}

// Quantile returns the q with CDF(q) = p for 0 < p < 1, by bisection to 1e-9
// of its size.
func (d Studentised) Quantile(p float64) (float64, error) {
	if d.K < 2 || !(d.DF >= 1) || !(p > 0 && p < 1) {
		return 0, fmt.Errorf("studentised range of %d groups with %v degrees of freedom at %v: %w", d.K, d.DF, p, ErrLevel)
	}
	d = d.tabled()
	low, high := 0.0, 1.0
	for d.CDF(high) < p {
		if low, high = high, 2*high; high > 1e6 {
			return 0, ErrRange
		}
	}
	for high-low > 1e-9*high {
		if middle := (low + high) / 2; d.CDF(middle) < p {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}

// A Pair is the difference of two of several groups.
type Pair struct {
	A, B      int // which groups
	Estimate  Estimate
	PAdjusted float64 // probability of so wide a range when all groups are alike
}

// TukeyKramer compares every pair of groups, the difference mean(A) - mean(B)
// with limits that hold for all pairs at once,
//
//	d ± q(level; k, N-k) s sqrt((1/nA + 1/nB)/2),
//
// s² the variance pooled over the groups. With unlike spreads it errs, up to one
// study in two where few values have the wide one: see Judge. A group may hold one value, as long
// as another has a spread. The error wraps ErrGroups, or that of Mean.
//
// Source: Kramer (1956), Biometrics 12, 307-310. Check: R TukeyHSD.
func TukeyKramer(groups [][]float64, level float64) ([]Pair, error) {
	means, ms, df, err := pooled(groups)
	if err != nil {
		return nil, err
	}
	d := Studentised{K: len(groups), DF: float64(df)}.tabled()
	q, err := d.Quantile(level)
	if err != nil {
		return nil, err
	}
	var pairs []Pair
	for a := range groups {
		for b := a + 1; b < len(groups); b++ {
			se := math.Sqrt(ms / 2 * (1/float64(len(groups[a])) + 1/float64(len(groups[b]))))
			diff := means[a] - means[b]
			e := Estimate{Value: diff, Limits: &Limits{diff - q*se, diff + q*se}, N: len(groups[a]) + len(groups[b]),
				DF: d.DF, SE: se, Method: "Tukey-Kramer, pooled spread"}
			pairs = append(pairs, Pair{a, b, e, d.Beyond(math.Abs(diff) / se)})
		}
	}
	return pairs, nil
}

// pooled returns the means, the pooled variance and its degrees of freedom.
func pooled(groups [][]float64) (means []float64, ms float64, df int, err error) {
	squares := 0.0
	for i, g := range groups {
		mean, err := Mean(g)
		if err != nil {
			return nil, 0, 0, fmt.Errorf("group %d: %w", i+1, err)
		}
		means = append(means, mean)
		if len(g) > 1 {
			s, err := SD(g)
			if err != nil {
				return nil, 0, 0, fmt.Errorf("group %d: %w", i+1, err)
			}
			squares += s * s * float64(len(g)-1)
			df += len(g) - 1
		}
	}
	if len(groups) < 2 || df == 0 || !(squares > 0) || math.IsInf(squares, 1) {
		return nil, 0, 0, ErrGroups
	}
	return means, squares / float64(df), df, nil
}
