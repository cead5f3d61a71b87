package stat_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"soaktag/tracker/stat"
)

// A breaking is a law of what gives way: some specimens of which wood may break first,
// and some more on a rig.
type breaking struct {
	n      int
	wood   float64 // quantile of the share in which the wood is the weaker; +Inf for none
	random bool    // its strength is as scattered as that of the glue
	rigs   int
	bears  func(rng *rand.Rand) float64
	name   string
}

func (b breaking) draw(rng *rand.Rand) (obs []stat.Observation) {
	for i := range b.n + b.rigs {
		x, limit := rng.NormFloat64(), b.wood
		if b.random {
			limit = rng.NormFloat64() + math.Sqrt2*b.wood
		}
		if i >= b.n {
			limit = b.bears(rng)
		}
		obs = append(obs, stat.Observation{Value: min(x, limit), Bound: atLeastIf(limit < x)})
	}
	return obs
}

// covered is the share of intervals that hold the true median, in percent, of the
// samples that have one.
func (b breaking) covered(t *testing.T, seed uint64, runs int) float64 {
	rng, inside, counted := rand.New(rand.NewPCG(2031, seed)), 0, 0
	for range runs {
		obs := b.draw(rng)
		if len(exactOnly(obs)) < 2 {
			continue
		}
		counted++
		if fit := fitted(t, obs, stat.Normal); fit.Limits.Low <= 0 && 0 <= fit.Limits.High {
			inside++
		}
	}
	return 100 * float64(inside) / float64(counted)
}

func breakings() (out []breaking) {
	none := math.Inf(1)
	for n := 2; n <= 4; n++ {
		for rigs := 1; rigs <= 3; rigs++ {
			for _, z := range []float64{-5, -2.38, -1.43, -0.7, 0} {
				out = append(out, breaking{n, none, false, rigs, func(*rand.Rand) float64 { return z }, fmt.Sprintf("%d, and %d rigs that bear %g", n, rigs, z)})
			}
			out = append(out, breaking{n, none, false, rigs, func(rng *rand.Rand) float64 { return 6*rng.Float64() - 4 }, fmt.Sprintf("%d, and %d rigs that bear anything", n, rigs)})
		}
	}
	for _, n := range []int{2, 3, 4, 6, 8} {
		for i, z := range []float64{0.841621, 0.253347, -0.253347} {
			for _, random := range []bool{false, true} {
				out = append(out, breaking{n, z, random, 0, nil, fmt.Sprintf("%d, wood in %d %%, random %v", n, 20*(i+1), random)})
			}
		}
	}
	return out
}

// studies is how many are drawn a cell: some every day, with SOAKTAG_LONG set that
// many, 6,000 for 1.
func studies(short int) int {
	n, err := strconv.Atoi(os.Getenv("SOAKTAG_LONG"))
	switch {
	case err != nil:
		return short
	case n < 2:
		return 6000
	}
	return n
}

// Nominal 95 %, to hold within 93.5 to 97 where wood limits up to 40 % of three or
// more, or rigs give way anywhere. Two specimens of which wood may limit one, and
// three of which it limits 60 %, are only counted where two broke, which are the weak
// ones: no count can mend that.
func TestCoverageOfFits(t *testing.T) {
	runs := studies(300)
	if os.Getenv("SOAKTAG_LONG") != "" {
		runs *= 5
	}
	for i, b := range breakings() {
		least := 93.5
		switch {
		case b.rigs == 0 && b.n == 2 && b.wood < 0:
			least = 83
		case b.rigs == 0 && b.n == 2:
			least = 91
		case b.rigs == 0 && b.wood < 0:
			least = 92
		}
		c, slack := b.covered(t, uint64(i), runs), 3.5*math.Sqrt(95*5/float64(runs))
		t.Logf("%.1f %% of %d: %s", c, runs, b.name)
		if c < least-slack || c > 97+slack {
			t.Errorf("%s: covered in %.2f %%", b.name, c)
		}
	}
}
