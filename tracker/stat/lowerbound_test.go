package stat_test

import (
	"errors"
	"math"
	"testing"

	"soaktag/tracker/stat"
)

// Source: the definition, by hand: four bounds at c leave 0.05^(1/4) of the
// distribution above c (z = 0.068), one leaves 0.05 (z = 1.645).
func TestLowerBound(t *testing.T) {
	for _, c := range []struct {
		cs   []float64
		want float64
		tol  float64
	}{
		{[]float64{10, 10, 10, 10}, 9.9, 0.05},
		{[]float64{10}, 7.9, 0.05},
		{[]float64{10}, 10 * math.Exp(-0.14*1.6448536269514722), 1e-9},
		{[]float64{10, 1e-3}, 10 * math.Exp(-0.14*1.6448536269514722), 1e-9},
	} {
		got, err := stat.LowerBound(c.cs, 0.14, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "bound", got, c.want, c.tol)
	}
	for _, c := range []struct {
		cs             []float64
		cv, confidence float64
		want           error
	}{
		{nil, 0.14, 0.95, stat.ErrNoData},
		{[]float64{0}, 0.14, 0.95, stat.ErrNotPositive},
		{[]float64{1}, 0, 0.95, stat.ErrNotPositive},
		{[]float64{1}, 0.14, 1, stat.ErrLevel},
		{[]float64{1e300}, 1e300, 0.01, stat.ErrRange},
	} {
		if got, err := stat.LowerBound(c.cs, c.cv, c.confidence); !errors.Is(err, c.want) {
			t.Errorf("%v: %v, %v, want %v", c, got, err, c.want)
		}
	}
}

// As FuzzFitCensored, for two bounds.
func FuzzLowerBound(f *testing.F) {
	f.Add(10.0, 9.0, 0.14, 0.95)
	f.Add(1e300, 5e-324, 5e-324, 1e-300)
	f.Fuzz(func(t *testing.T, a, b, cv, confidence float64) {
		if low, err := stat.LowerBound([]float64{a, b}, cv, confidence); err == nil {
			finite(t, low)
		}
	})
}
