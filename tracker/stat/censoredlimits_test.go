package stat_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"soaktag/tracker/stat"
)

func TestScaleAndOrderDoNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range 300 {
		obs, f := randomSample(rng, 2+i%6), families[i%3]
		fit, scaled := fitted(t, obs, f), slices.Clone(obs)
		for i := range scaled {
			scaled[i].Value *= 145.0377
		}
		other := fitted(t, scaled, f)
		near(t, "value", other.Value/fit.Value, 145.0377, 1e-8)
		near(t, "low", other.Limits.Low/fit.Limits.Low, 145.0377, 1e-7)
		near(t, "high", other.Limits.High/fit.Limits.High, 145.0377, 1e-7)
		rng.Shuffle(len(obs), func(i, j int) { obs[i], obs[j] = obs[j], obs[i] })
		other = fitted(t, obs, f)
		near(t, "value in another order", other.Value, fit.Value, 1e-9)
		near(t, "high in another order", other.Limits.High/fit.Limits.High, 1, 1e-9)
	}
}

// turned returns obs with number i a bound at share times its value.
func turned(obs []stat.Observation, i int, share float64) []stat.Observation {
	other := slices.Clone(obs)
	other[i] = stat.Observation{Value: share * other[i].Value, Bound: stat.AtLeast}
	return other
}

// isHighest tells whether no exact value of obs lies above number i.
func isHighest(obs []stat.Observation, i int) bool {
	return !slices.ContainsFunc(obs, func(o stat.Observation) bool { return o.Bound == stat.Exact && o.Value > obs[i].Value })
}

// "At least 9" says more for strength than "9": the estimate never falls. The
// upper limit never falls for the highest exact value. For a low one it may:
// as a bound it no longer speaks for a wide spread, so the interval shrinks.
func TestTurningAValueIntoABoundNeverLowers(t *testing.T) {
	rng, counted := rand.New(rand.NewPCG(5, 6)), 0
	for i := range 6000 {
		obs, f := randomSample(rng, 3+i%5), families[i%3]
		j := rng.IntN(len(obs))
		after, err := stat.FitCensored(turned(obs, j, 1), f, 0.95)
		if obs[j].Bound == stat.AtLeast || errors.Is(err, stat.ErrTooFewExact) {
			continue
		}
		before := fitted(t, obs, f)
		if err != nil || after.Value < before.Value*(1-1e-9) {
			t.Errorf("%v, number %d: %v then %v (%v)", obs, j, before.Value, after.Value, err)
		}
		if isHighest(obs, j) && after.Limits.High < before.Limits.High*(1-1e-9) {
			t.Errorf("%v, number %d: high %v then %v", obs, j, before.Limits.High, after.Limits.High)
		}
		counted++
	}
	t.Logf("%d samples", counted)
}

// A bound raised from at or above the estimate never lowers it. One far below
// may, by a hair (1 in 10,000 of the value at most was seen): it says nothing
// of the location, but something against a wide spread, and with a narrower
// spread the other bounds pull less.
func TestRaisingABoundNeverLowers(t *testing.T) {
	rng, counted := rand.New(rand.NewPCG(7, 8)), 0
	for i := range 6000 {
		obs, f := randomSample(rng, 3+i%5), families[i%3]
		j := rng.IntN(len(obs))
		before := fitted(t, obs, f)
		if obs[j].Bound == stat.Exact {
			continue
		}
		after := fitted(t, turned(obs, j, 1+0.3*rng.Float64()), f)
		least := 1 - 1e-9
		if obs[j].Value < before.Value {
			least = 1 - 1e-3
		}
		if after.Value < before.Value*least {
			t.Errorf("%v, number %d: %v then %v", obs, j, before.Value, after.Value)
		}
		counted++
	}
	t.Logf("%d samples", counted)
}

// All exact values equal: with a bound above there is a spread, without one
// there is none.
func TestEqualExactValues(t *testing.T) {
	for _, f := range families {
		fit := fitted(t, append(exact(9, 9), atLeast(11)...), f)
		if !(fit.Sigma > 0 && fit.Value > 9 && fit.Limits.Low < fit.Value && fit.Limits.High > fit.Value) {
			t.Errorf("%v with a bound above: %+v", f, fit)
		}
		fit = fitted(t, append(exact(9, 9, 9), atLeast(9, 4)...), f)
		near(t, "value", fit.Value, 9, 1e-12)
		if fit.Sigma != 0 || fit.Limits.Low != fit.Limits.High || len(fit.Warnings) != 1 {
			t.Errorf("%v without: %+v", f, fit)
		}
	}
}

// One exact value and one bound far off, hundreds of bounds, values a hair
// apart: the climb ends and the limits stand on either side.
func TestSaneDataAlwaysConverge(t *testing.T) {
	many := exact(9, 9.5)
	for i := range 500 {
		many = append(many, atLeast(10+float64(i%7))...)
	}
	for name, obs := range map[string][]stat.Observation{
		"far bound":       append(exact(9, 9.0001), atLeast(5000)...),
		"far below":       append(exact(9, 9.0001), atLeast(1e-9, 1e-9)...),
		"hair":            exact(9, 9*(1+1e-14)),
		"hair and bounds": append(exact(9, 9*(1+1e-14)), atLeast(9, 10, 1)...),
		"many bounds":     many,
		"wide":            append(exact(1e-6, 1e6), atLeast(1)...),
	} {
		for _, f := range families {
			fit, err := stat.FitCensored(obs, f, 0.95)
			if err != nil || !(fit.Limits.Low < fit.Value && fit.Value < fit.Limits.High) {
				t.Errorf("%s, %v: %+v %+v, %v", name, f, fit, fit.Limits, err)
			}
		}
	}
}

func TestImpossibleCensoredDataIsAnError(t *testing.T) {
	for _, c := range []struct {
		name  string
		obs   []stat.Observation
		f     stat.Family
		level float64
		want  error
	}{
		{"none", nil, stat.Normal, 0.95, stat.ErrNoData},
		{"nan", exact(1, math.NaN()), stat.Normal, 0.95, stat.ErrNotFinite},
		{"zero", exact(1, 0), stat.LogNormal, 0.95, stat.ErrNotPositive},
		{"negative bound", append(exact(1, 2), atLeast(-1)...), stat.Weibull, 0.95, stat.ErrNotPositive},
		{"one exact", append(exact(1), atLeast(1, 2, 3)...), stat.Normal, 0.95, stat.ErrTooFewExact},
		{"no exact", atLeast(1, 2, 3), stat.LogNormal, 0.95, stat.ErrTooFewExact},
		{"level", exact(1, 2), stat.Normal, 1, stat.ErrLevel},
		{"negative level", exact(1, 2), stat.Normal, -0.5, stat.ErrLevel},
		{"family", exact(1, 2), stat.Family(7), 0.95, stat.ErrFamily},
		{"huge", exact(-math.MaxFloat64, math.MaxFloat64), stat.Normal, 0.95, stat.ErrRange},
		{"range of e", exact(1e-300, 1e300), stat.LogNormal, 0.95, stat.ErrRange},
	} {
		if fit, err := stat.FitCensored(c.obs, c.f, c.level); !errors.Is(err, c.want) {
			t.Errorf("%s: %+v, %v, want %v", c.name, fit, err, c.want)
		}
	}
	if name := stat.Family(7).String(); name != "family 7" {
		t.Error(name)
	}
}

// Finite numbers or an error, whatever comes; the low five bits of flags say
// which values are bounds.
func FuzzFitCensored(f *testing.F) {
	f.Add(9.89, 9.03, 11.19, 9.26, 9.0, uint8(12), uint8(0), 0.95)
	f.Add(1e300, -1e300, 5e-324, 0.0, 1.0, uint8(1), uint8(1), 0.5)
	f.Add(9.0, 9.0, 11.0, 8.0, 9.0, uint8(28), uint8(2), 0.999)
	f.Fuzz(func(t *testing.T, a, b, c, d, e float64, flags, family uint8, level float64) {
		fit, err := stat.FitCensored(flagged(flags, a, b, c, d, e), families[family%3], level)
		if err != nil {
			return
		}
		finite(t, fit.Value, fit.Mu, fit.Sigma, fit.SE, fit.DF, fit.LogLikelihood, fit.Limits.Low, fit.Limits.High)
		if fit.Limits.Low > fit.Value || fit.Value > fit.Limits.High {
			t.Errorf("%v outside %v", fit.Value, fit.Limits)
		}
	})
}

// flagged makes a bound of each value whose bit is set.
func flagged(flags uint8, xs ...float64) (obs []stat.Observation) {
	for i, x := range xs {
		obs = append(obs, stat.Observation{Value: x, Bound: atLeastIf(flags>>i&1 == 1)})
	}
	return obs
}

func finite(t *testing.T, xs ...float64) {
	t.Helper()
	if !allFinite(xs) {
		t.Errorf("%v: not finite", xs)
	}
}

func allFinite(xs []float64) bool {
	return !slices.ContainsFunc(xs, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
}
