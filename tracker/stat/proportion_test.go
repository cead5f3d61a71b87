package stat_test

import (
	"errors"
	"math"
	"testing"

	"soaktag/tracker/stat"
)

// Common practice, worked by hand: with none or all the limits have a closed
// form; 1 of 4 and its percentages are the figures of a shop where one of
// four bonds fell apart.
func TestProportionOfFour(t *testing.T) {
	for _, c := range []struct {
		k         int
		low, high float64
		within    float64
	}{
		{0, 0, 1 - math.Pow(0.025, 0.25), 1e-15},
		{4, math.Pow(0.025, 0.25), 1, 1e-15},
		{1, 1 - math.Pow(0.975, 0.25), 0.81, 0.005},
		{3, 0.19, math.Pow(0.975, 0.25), 0.005},
	} {
		e, err := stat.Proportion(c.k, 4, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "share", e.Value, float64(c.k)/4, 0)
		near(t, "low", e.Limits.Low, c.low, c.within)
		near(t, "high", e.Limits.High, c.high, c.within)
	}
	e, _ := stat.Proportion(1, 4, 0.95)
	near(t, "1 of 4, low", e.Limits.Low, 1-math.Pow(0.975, 0.25), 1e-14)
	most, err := stat.ProportionAtMost(0, 4, 0.95)
	near(t, "none of 4, at most", most, 1-math.Pow(0.05, 0.25), 1e-15)
	near(t, "none of 4, at most", most, 0.53, 0.005)
	if err != nil {
		t.Error(err)
	}
}

// 682 giants of 925 plants (Conover 1971), the example of R's binom.test, to
// seven digits. By hand: sums of exact fractions leave 0.0250001 and 0.0249998 beyond these.
func TestProportionOfPlants(t *testing.T) {
	e, err := stat.Proportion(682, 925, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low", e.Limits.Low, 0.7076683, 5e-8)
	near(t, "high", e.Limits.High, 0.7654066, 5e-8)
}

// atMost sums the binomial probabilities of 0 to k of n.
func atMost(k, n int, p float64) (sum float64) {
	term := math.Pow(1-p, float64(n))
	for i := range k + 1 {
		sum += term
		term *= float64(n-i) / float64(i+1) * p / (1 - p)
	}
	return sum
}

// Clopper and Pearson (1934), Biometrika 26, 404-413: the definition. At each
// limit the count seen, or one further out, has half of what level leaves.
func TestProportionLimitsLeaveTheirTails(t *testing.T) {
	for _, n := range []int{2, 5, 20, 60} {
		for k := 1; k < n; k++ {
			e, err := stat.Proportion(k, n, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "above", atMost(k, n, e.Limits.High), 0.05, 1e-12)
			near(t, "below", 1-atMost(k-1, n, e.Limits.Low), 0.05, 1e-12)
			most, _ := stat.ProportionAtMost(k, n, 0.95)
			near(t, "one-sided", most, e.Limits.High, 1e-14)
		}
	}
}

// Exact bound alpha^(1/n); the percentages are those commonly printed.
func TestSurvivorsShown(t *testing.T) {
	for n, want := range map[int]float64{1: 0.05, 4: 0.47, 10: 0.74, 20: 0.86, 59: 0.95} {
		near(t, "shown", stat.SurvivorsShown(n, 0.95), want, 0.005)
	}
	for _, bad := range []float64{stat.SurvivorsShown(0, 0.95), stat.SurvivorsShown(4, 1), stat.SurvivorsShown(4, math.NaN())} {
		near(t, "nothing shown", bad, 0, 0)
	}
}

func TestImpossibleSharesAreErrors(t *testing.T) {
	for _, c := range []struct{ k, n int }{{0, 0}, {-1, 4}, {5, 4}, {1, -1}} {
		if _, err := stat.Proportion(c.k, c.n, 0.95); !errors.Is(err, stat.ErrCount) {
			t.Errorf("%d of %d: %v", c.k, c.n, err)
		}
	}
	for _, level := range []float64{0, 1, -1, math.NaN()} {
		if _, err := stat.ProportionAtMost(1, 4, level); !errors.Is(err, stat.ErrLevel) {
			t.Errorf("level %v: %v", level, err)
		}
	}
}

// Whatever counts come, the limits enclose the share and lie within 0 and 1.
func FuzzProportion(f *testing.F) {
	f.Add(1, 4, 0.95)
	f.Add(0, math.MaxInt, 0.5)
	f.Add(1<<60, 1<<61, 1e-300)
	f.Add(3, 1000000, 0.9999999999999999)
	f.Fuzz(func(t *testing.T, k, n int, level float64) {
		e, err := stat.Proportion(k, n, level)
		if err != nil {
			return
		}
		most, err := stat.ProportionAtMost(k, n, level)
		if err != nil || !(most >= 0 && most <= 1) {
			t.Errorf("at most %v, %v", most, err)
		}
		slack := 1e-6
		if l := e.Limits; !(l.Low >= 0 && l.Low <= e.Value+slack && e.Value-slack <= l.High && l.High <= 1) {
			t.Errorf("%d of %d at %v: %v in %v", k, n, level, e.Value, *l)
		}
	})
}
