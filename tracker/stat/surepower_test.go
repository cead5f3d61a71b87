package stat_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"soaktag/tracker/stat"
)

// No published source: what SurelyDetectableRatio promises is found by Judge in
// simulated studies about as often.
func TestSurelyDetectableIsFound(t *testing.T) {
	for i, c := range []struct{ n, k int }{{2, 2}, {3, 2}, {4, 3}, {3, 5}, {8, 5}, {4, 9}} {
		ratio, err := stat.SurelyDetectableRatio(c.n, c.k, 0.15, 0.05, 0.8)
		if err != nil {
			t.Fatal(err)
		}
		rng, found, runs := rand.New(rand.NewPCG(2032, uint64(i))), 0, studies(1000)
		for range runs {
			all := plain(plan{each(c.n, c.k), slices.Repeat([]float64{0.15 / spread}, c.k)}).draw(rng)
			for i := range all[0].Exact {
				all[0].Exact[i] *= ratio
			}
			err := stat.Orders(ranked(all...), func(a, b int) { found += one(a == 0 && b == 1) }, func(int, int) {})
			if err != nil {
				t.Fatal(err)
			}
		}
		share := 100 * float64(found) / float64(runs)
		t.Logf("%d of %d: ratio %.2f found in %.1f %%", c.k, c.n, ratio, share)
		if slack := 3.5 * math.Sqrt(80*20/float64(runs)); share < 75-slack || share > 81+slack {
			t.Errorf("%d groups of %d: %.3f is found in %.1f %%", c.k, c.n, ratio, share)
		}
	}
	if _, err := stat.SurelyDetectableRatio(1, 3, 0.15, 0.05, 0.8); !errors.Is(err, stat.ErrDesign) {
		t.Errorf("one each: %v", err)
	}
}
