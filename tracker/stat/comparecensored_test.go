package stat_test

import (
	"errors"
	"math"
	"testing"

	"soaktag/tracker/stat"
)

// Nothing censored: an identity with TukeyKramer, whose own test stands
// against R 4.2.2 TukeyHSD. PlantGrowth (Dobson 1983), the paper of Montgomery
// and Runger, the skinfolds of Bland and Altman (groups of unlike size), and a
// group of one.
func TestTukeyWithoutBoundsIsTukeyKramer(t *testing.T) {
	for _, groups := range [][][]float64{
		{trt2, trt1, ctrl},
		{{19, 25, 22, 23, 18, 20}, {14, 18, 19, 17, 16, 18}, {12, 17, 13, 18, 19, 15}, {7, 8, 15, 11, 9, 10}},
		{logs(crohn), logs(coel)},
		{{9.1, 9.4, 8.7}, {12}},
	} {
		want, err1 := stat.TukeyKramer(groups, 0.95)
		var obs [][]stat.Observation
		for _, g := range groups {
			obs = append(obs, exact(g...))
		}
		got, err2 := stat.TukeyCensored(obs, 0.95)
		if err1 != nil || err2 != nil || len(got) != len(want) {
			t.Fatal(err1, err2, len(got))
		}
		for i, p := range got {
			alike(t, p, want[i], 1e-8)
		}
	}
}

func alike(t *testing.T, got, want stat.Pair, tolerance float64) {
	t.Helper()
	if got.A != want.A || got.B != want.B || got.Estimate.N != want.Estimate.N || got.Estimate.DF != want.Estimate.DF {
		t.Errorf("%+v, want %+v", got, want)
	}
	near(t, "difference", got.Estimate.Value, want.Estimate.Value, tolerance)
	near(t, "se", got.Estimate.SE, want.Estimate.SE, tolerance)
	near(t, "low", got.Estimate.Limits.Low, want.Estimate.Limits.Low, tolerance)
	near(t, "high", got.Estimate.Limits.High, want.Estimate.Limits.High, tolerance)
	near(t, "p", got.PAdjusted, want.PAdjusted, tolerance)
}

// commonLikelihood is written down anew: normal, a mean a group, one sigma.
func commonLikelihood(groups [][]stat.Observation, means []float64, sigma float64) (l float64) {
	for g, obs := range groups {
		for _, o := range obs {
			l += logLikelihood([]stat.Observation{o}, stat.Normal, means[g], sigma)
		}
	}
	return l
}

// No published source: the top found by a search that knows no derivative
// (one coordinate at a time, ever finer), and the standard error of the
// difference by second differences of that likelihood at the top.
func TestTukeyCensoredAgreesWithABruteForceSearch(t *testing.T) {
	groups := [][]stat.Observation{
		append(exact(9.89, 9.03), atLeast(11.19, 9.26)...),
		append(exact(12.1, 12.9, 11.7), atLeast(13.0)...),
	}
	at := []float64{10, 12, 1}
	l := func(x []float64) float64 { return commonLikelihood(groups, x[:2], x[2]) }
	for step := 0.5; step > 1e-10; step /= 2 {
		for moved := true; moved; {
			moved = false
			for i := range at {
				for _, d := range []float64{step, -step} {
					before := l(at)
					if at[i] += d; l(at) > before {
						moved = true
					} else {
						at[i] -= d
					}
				}
			}
		}
	}
	pairs, err := stat.TukeyCensored(groups, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", pairs[0].Estimate.Value, at[0]-at[1], 1e-6)
	n := 0.0
	for g, obs := range groups {
		n += worthOf(obs, stat.Fit{Family: stat.Normal, Mu: at[g], Sigma: at[2]})
	}
	near(t, "degrees of freedom", pairs[0].Estimate.DF, n-2, 1e-6)
	near(t, "se", pairs[0].Estimate.SE, math.Sqrt(varianceByDifferences(l, at)*n/(n-2)/2), 1e-5)
}

// varianceByDifferences inverts the 3 x 3 information by hand and returns the
// variance of x[0] - x[1].
func varianceByDifferences(l func([]float64) float64, at []float64) float64 {
	const h = 1e-4
	var m [3][3]float64
	f := func(i, j int, a, b float64) float64 {
		x := append([]float64{}, at...)
		x[i] += a * h
		x[j] += b * h
		return l(x)
	}
	for i := range 3 {
		for j := range 3 {
			m[i][j] = -(f(i, j, 1, 1) - f(i, j, 1, -1) - f(i, j, -1, 1) + f(i, j, -1, -1)) / (4 * h * h)
		}
	}
	minor := func(a, b, c, d int) float64 { return m[a][c]*m[b][d] - m[a][d]*m[b][c] }
	det := m[0][0]*minor(1, 2, 1, 2) - m[0][1]*minor(1, 2, 0, 2) + m[0][2]*minor(1, 2, 0, 1)
	return (minor(1, 2, 1, 2) + minor(0, 2, 0, 2) + 2*minor(1, 2, 0, 2)) / det
}

// Scale, shift and order of the groups must not matter.
func TestTukeyCensoredIsFreeOfScaleAndShift(t *testing.T) {
	a := append(exact(9.89, 9.03), atLeast(11.19, 9.26)...)
	b := append(exact(12.1, 12.9, 11.7), atLeast(13.0)...)
	moved := func(obs []stat.Observation) (out []stat.Observation) {
		for _, o := range obs {
			out = append(out, stat.Observation{Value: 7*o.Value + 100, Bound: o.Bound})
		}
		return out
	}
	one, err1 := stat.TukeyCensored([][]stat.Observation{a, b}, 0.95)
	two, err2 := stat.TukeyCensored([][]stat.Observation{moved(b), moved(a)}, 0.95)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	near(t, "difference", two[0].Estimate.Value, -7*one[0].Estimate.Value, 1e-9)
	near(t, "high", two[0].Estimate.Limits.High, -7*one[0].Estimate.Limits.Low, 1e-9)
	near(t, "p", two[0].PAdjusted, one[0].PAdjusted, 1e-9)
}

func TestTukeyCensoredNeedsExactValuesAndSpread(t *testing.T) {
	for name, groups := range map[string][][]stat.Observation{
		"none":             nil,
		"one group":        {exact(1, 2)},
		"no exact":         {exact(1, 2), atLeast(3, 4)},
		"no spread":        {exact(1, 1), exact(2, 2)},
		"bounds below":     {append(exact(1, 1), atLeast(1, 0)...), exact(2)},
		"one value a side": {exact(1), exact(2)},
		"bounds far below": {append(exact(1), atLeast(-1e6)...), append(exact(2), atLeast(3)...)},
	} {
		if _, err := stat.TukeyCensored(groups, 0.95); !errors.Is(err, stat.ErrGroups) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := stat.TukeyCensored([][]stat.Observation{exact(1, 2), {}}, 0.95); !errors.Is(err, stat.ErrNoData) {
		t.Errorf("empty group: %v", err)
	}
	if _, err := stat.TukeyCensored([][]stat.Observation{exact(1, 2), exact(1, 3)}, 1); !errors.Is(err, stat.ErrLevel) {
		t.Errorf("level: %v", err)
	}
}

// As FuzzFitCensored, for two groups.
func FuzzTukeyCensored(f *testing.F) {
	f.Add(9.89, 9.03, 11.19, 9.26, 9.0, uint8(12))
	f.Add(1e300, -1e300, 5e-324, 0.0, 1.0, uint8(1))
	f.Fuzz(func(t *testing.T, a, b, c, d, e float64, flags uint8) {
		obs := flagged(flags, a, b, c, d, e)
		pairs, err := stat.TukeyCensored([][]stat.Observation{obs[:3], obs[3:]}, 0.95)
		if err == nil && len(pairs) != 1 {
			t.Errorf("%d pairs", len(pairs))
		}
		for _, p := range pairs {
			finite(t, p.Estimate.Value, p.Estimate.SE, p.Estimate.Limits.Low, p.Estimate.Limits.High, p.PAdjusted)
		}
	})
}
