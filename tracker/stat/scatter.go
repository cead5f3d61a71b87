package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Scatter is the standard deviation that several groups have in common.
type Scatter struct {
	S      float64
	DF     int // of S: the values less one a group
	Groups int // with two values or more
	Alike  float64
	DFHeld float64 // degrees of freedom that its limits hold with where the groups do not scatter alike
}

// PoolScatter returns the standard deviation within groups of two values or more,
//
//	s² = Σ (nᵢ-1) sᵢ² / ν,   ν = Σ (nᵢ-1),
//
// in the unit of the values. Groups of one say nothing of it. Alike is the p of Bartlett's
// test that they scatter alike; 1 with one group, or where one has no spread, of which the
// test cannot say anything. DFHeld is
//
//	min(ν, (ν s²)² / Σ (nᵢ-1) sᵢ⁴ (nᵢ-1)/(nᵢ+1)),
//
// Satterthwaite's sum, corrected since sᵢ⁴ of few values is too large by (nᵢ+1)/(nᵢ-1).
//
// The error wraps ErrGroups without such a group, ErrNotFinite, or ErrRange where all values
// of each group are equal.
func PoolScatter(groups [][]float64) (Scatter, error) {
	var p Scatter
	var squares, fourths, logs, inverse float64
	for _, g := range groups {
		if len(g) < 2 {
			continue
		}
		sd, err := SD(g)
		if err != nil {
			return Scatter{}, err
		}
		df := float64(len(g) - 1)
		p.Groups, p.DF = p.Groups+1, p.DF+len(g)-1
		squares += df * sd * sd
		fourths += df * math.Pow(sd, 4) * df / (df + 2)
		logs += df * 2 * math.Log(sd)
		inverse += 1 / df
	}
	if p.Groups == 0 {
		return Scatter{}, fmt.Errorf("a scatter of %d groups of one value: %w", len(groups), ErrGroups)
	}
	if !(squares > 0) {
		return Scatter{}, ErrRange
	}
	nu := float64(p.DF)
	p.S = math.Sqrt(squares / nu)
	p.DFHeld = min(nu, squares*squares/fourths)
	p.Alike = bartlett(p.Groups, nu, p.S, logs, inverse)
	return p, nil
}

// bartlett is the p of Bartlett's test of k groups with the scatter s on nu degrees of
// freedom, logs = Σ νᵢ ln sᵢ² and inverse = Σ 1/νᵢ.
//
// Source: Bartlett (1937), Proceedings of the Royal Society A 160, 268-282 (from memory).
func bartlett(k int, nu, s, logs, inverse float64) float64 {
	if k < 2 || math.IsInf(logs, -1) {
		return 1
	}
	x := (nu*2*math.Log(s) - logs) / (1 + (inverse-1/nu)/(3*float64(k-1)))
	return distuv.ChiSquared{K: float64(k - 1)}.Survival(x)
}

// Limits are the two-sided limits of a true standard deviation of which s was found with
// df degrees of freedom, s sqrt(df/χ²), each missed by half of 1 - level.
//
// The error wraps ErrDesign unless s and df are above zero, or ErrLevel.
func ScatterLimits(s, df, level float64) (Limits, error) {
	low, err := scatterAt(s, df, 1-(1-level)/2)
	if err != nil {
		return Limits{}, err
	}
	high, err := scatterAt(s, df, (1-level)/2)
	return Limits{low, high}, err
}

// ScatterAtMost is the one-sided upper limit of such a standard deviation.
func ScatterAtMost(s, df, confidence float64) (float64, error) {
	return scatterAt(s, df, 1-confidence)
}

func scatterAt(s, df, p float64) (float64, error) {
	if !(s > 0) || !(df > 0) || math.IsInf(s+df, 1) {
		return 0, fmt.Errorf("limits of a spread of %v with %v degrees of freedom: %w", s, df, ErrDesign)
	}
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("a level of %v: %w", p, ErrLevel)
	}
	return inRange(s * math.Sqrt(df/chiSquareAt(p, df)))
}

// chiSquareAt is the p quantile, 0 < p < 1, that of the library made exact by two Newton
// steps, since its inverse keeps about ten digits.
func chiSquareAt(p, df float64) float64 {
	d := distuv.ChiSquared{K: df}
	x := d.Quantile(p)
	for range 2 {
		if step := (d.CDF(x) - p) / d.Prob(x); math.Abs(step) < x/2 {
			x -= step
		}
	}
	return x
}

// CensoredScatter is the standard deviation that groups of exact values and lower bounds have in
// common, by maximum likelihood with a mean for each, times sqrt(E/(E-G)): E exact values in the
// G groups that have any; df = E - G. Groups of bounds alone add nothing and are left out. Values
// are taken on the scale they come in.
//
// The error wraps ErrGroups without a degree of freedom or a spread, or is that of TukeyCensored.
func CensoredScatter(groups [][]Observation) (sd, df float64, err error) {
	var told [][]Observation
	for _, obs := range groups {
		if _, err := Normal.onScale(obs); err != nil {
			return 0, 0, err
		}
		if _, ok := lowestExact(obs); ok {
			told = append(told, obs)
		}
	}
	own, err := Normal.shape()
	if err != nil {
		return 0, 0, err
	}
	s, err := newSample(own, told)
	if err != nil {
		return 0, 0, err
	}
	if df = float64(s.exact - len(told)); df < 1 || s.scale == 0 {
		return 0, 0, ErrGroups
	}
	top, err := s.maximum()
	if err != nil {
		return 0, 0, err
	}
	return s.scale / top.at.theta * math.Sqrt(float64(s.exact)/df), df, nil
}
