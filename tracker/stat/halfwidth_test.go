package stat_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"soaktag/tracker/stat"
)

// Source: R 4.2.2, qt(1-(1-level)/2, n-1)*sd*sqrt(qchisq(chance, n-1)/(n*(n-1))).
func TestHalfWidthAgreesWithR(t *testing.T) {
	for _, c := range []struct {
		n                       int
		sd, level, chance, want float64
	}{
		{2, 0.15, 0.95, 0.8, 1.727142597662},
		{3, 0.15, 0.95, 0.8, 0.472720069381},
		{4, 0.15, 0.95, 0.8, 0.296890889872},
		{6, 0.15, 0.95, 0.8, 0.190065926567},
		{8, 0.15, 0.95, 0.8, 0.148403595046},
		{14, 0.15, 0.95, 0.8, 0.098995080544},
		{4, 0.25, 0.95, 0.9, 0.574246979951},
		{4, 0.1, 0.9, 0.5, 0.104496886703},
		{50, 0.2, 0.99, 0.95, 0.088197703220},
		{1200, 0.2, 0.95, 0.8, 0.011519366814},
	} {
		h, err := stat.HalfWidth(c.n, c.sd, c.level, c.chance)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprint(c), h, c.want, 1e-10)
	}
}

// Source: R 4.2.2, the least n by a loop over the formula above.
func TestSampleSizeMeanAgreesWithR(t *testing.T) {
	for _, c := range []struct {
		within, sd, level, chance float64
		want                      int
	}{
		{0.1, 0.15, 0.95, 0.8, 14},
		{0.2, 0.15, 0.95, 0.8, 6},
		{0.05, 0.15, 0.95, 0.8, 44},
		{0.1, 0.25, 0.95, 0.9, 35},
		{0.1, 0.1, 0.9, 0.5, 5},
		{0.01, 0.15, 0.95, 0.8, 901},
		{2, 0.15, 0.95, 0.8, 2},
	} {
		if n, err := stat.SampleSizeMean(c.within, c.sd, c.level, c.chance); err != nil || n != c.want {
			t.Errorf("%+v: %d, %v", c, n, err)
		}
	}
}

// What is promised is kept by the intervals themselves, about as often as it says.
func TestHalfWidthIsMetAsOftenAsItSays(t *testing.T) {
	h, err := stat.HalfWidth(4, 0.15, 0.95, 0.8)
	if err != nil {
		t.Fatal(err)
	}
	rng, met, runs := rand.New(rand.NewPCG(2033, 1)), 0, studies(5000)
	for range runs {
		var xs []float64
		for range 4 {
			xs = append(xs, 1+0.15*rng.NormFloat64())
		}
		e, err := stat.TInterval(xs, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		met += one(e.Limits.High-e.Value <= h)
	}
	share := float64(met) / float64(runs)
	if math.Abs(share-0.8) > 3.5*math.Sqrt(0.8*0.2/float64(runs)) {
		t.Errorf("met in %.3f, said 0.8", share)
	}
}

func TestImpossibleHalfWidths(t *testing.T) {
	for _, c := range []struct {
		n                 int
		sd, level, chance float64
		want              error
	}{
		{1, 0.15, 0.95, 0.8, stat.ErrDesign}, {4, 0, 0.95, 0.8, stat.ErrDesign}, {4, math.NaN(), 0.95, 0.8, stat.ErrDesign}, {4, math.Inf(1), 0.95, 0.8, stat.ErrDesign},
		{4, 0.15, 1, 0.8, stat.ErrLevel}, {4, 0.15, 0.95, 1, stat.ErrLevel}, {4, 0.15, 0.95, math.NaN(), stat.ErrLevel},
	} {
		if _, err := stat.HalfWidth(c.n, c.sd, c.level, c.chance); !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c, err)
		}
		if _, err := stat.SampleSizeMean(0.1, c.sd, c.level, c.chance); c.n > 1 && !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if _, err := stat.SampleSizeMean(0, 0.15, 0.95, 0.8); !errors.Is(err, stat.ErrDesign) {
		t.Errorf("within 0: %v", err)
	}
	if _, err := stat.SampleSizeMean(1e-9, 0.15, 0.95, 0.8); !errors.Is(err, stat.ErrRange) {
		t.Errorf("within a billionth: %v", err)
	}
}
