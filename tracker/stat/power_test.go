package stat_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker/stat"
)

func power(t *testing.T, n int, d, alpha float64) float64 {
	t.Helper()
	p, err := stat.PowerT(n, d, 1, alpha)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Source: R 4.2.2, power.t.test, its help page's example and two near misses.
func TestPowerAgreesWithR(t *testing.T) {
	near(t, "n 20", power(t, 20, 1, 0.05), 0.868952801692, 1e-11)
	near(t, "n 22", power(t, 22, 1, 0.05), 0.899713647532, 1e-11)
	near(t, "n 8", power(t, 8, 1.5, 0.05), 0.796544115583, 1e-11)
	near(t, "direction", power(t, 8, -1.5, 0.05), 0.796544115583, 1e-11)
}

// Source: R 4.2.2, power.t.test; the columns are exact n, whole n, and the
// power reached with it and with one less. R stops its search for the exact n
// within 1e-4, so its later digits are not compared.
func TestSampleSizeAgreesWithTheTable(t *testing.T) {
	worst := 0.0
	for _, row := range table(t, "sample_size_t.csv")[1:] {
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
		goal, d := number(t, row[0]), number(t, row[1])
		exact, n, err := stat.SampleSizeT(d, 1, 0.05, goal)
		if err != nil || float64(n) != number(t, row[3]) {
			t.Errorf("power %v, d %v: n = %d, want %s, %v", goal, d, n, row[3], err)
			continue
		}
		near(t, "exact n", exact, number(t, row[2]), 3e-5)
		near(t, "reached", power(t, n, d, 0.05), number(t, row[4]), 1e-9)
		near(t, "one less", power(t, n-1, d, 0.05), number(t, row[5]), 1e-9)
		worst = max(worst, math.Abs(exact-number(t, row[2])))
	}
	t.Logf("exact n within %.1g of the table", worst)
}

// The exact n is where the power, with a fraction of a degree of freedom,
// meets the goal. By hand: trapezoidal rule over the logarithm of the spread,
// 8000 steps, Simpson's rule and Newton for t; it leaves 3e-13 of power here.
func TestSampleSizeIsExact(t *testing.T) {
	for _, c := range []struct{ d, goal, want float64 }{
		{0.5, 0.8, 63.7657637248631}, {1, 0.8, 16.7147598311712}, {0.5, 0.9, 85.0313133115415},
		{1, 0.9, 22.0210955701041}, {3, 0.9, 3.62481513961939},
	} {
		exact, _, err := stat.SampleSizeT(c.d, 1, 0.05, c.goal)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "exact n", exact, c.want, 1e-9)
	}
}

// By hand: with two degrees of freedom and no difference half of alpha is
// left, and a large sample is a normal. The two integrals meet at n = 31.
func TestPowerAtItsEdges(t *testing.T) {
	for _, n := range []int{2, 3, 10, 31, 32, 1000, 10_000_000} {
		near(t, "no difference", power(t, n, 0, 0.05), 0.025, 1e-10)
		near(t, "one half", power(t, n, 0, 1e-6), 5e-7, 1e-11)
	}
	z := 0.002*math.Sqrt(5e6/2) - 1.959963984540054
	near(t, "normal", power(t, 5_000_000, 0.002, 0.05), math.Erfc(-z/math.Sqrt2)/2, 1e-7)
	if step := power(t, 32, 0.7, 0.05) - 2*power(t, 31, 0.7, 0.05) + power(t, 30, 0.7, 0.05); math.Abs(step) > 1e-3 {
		t.Errorf("a step of %v", step)
	}
	if exact, n, err := stat.SampleSizeT(100, 1, 0.05, 0.8); err != nil || n != 2 || exact != 2 {
		t.Errorf("plain difference: %v, %d, %v", exact, n, err)
	}
}

// The percentages of the least significant and the detectable difference of
// two means with a spread of 15 %, read on the logarithmic scale. Common
// practice: t with 2n-2 degrees of freedom; power 0.8 by R's noncentral t.
func TestRatiosOfTwo(t *testing.T) {
	for _, c := range []struct {
		n           int
		least, seen float64
	}{{2, 65, 85}, {3, 34, 46}, {4, 26, 36}, {6, 19, 27}, {8, 16, 23}, {10, 14, 20}} {
		least, err := stat.LeastSignificantRatio(c.n, 2, 0.15, 0.05, false)
		seen, err2 := stat.DetectableRatio(c.n, 2, 0.15, 0.05, 0.8, false)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		near(t, "least significant", 100*math.Log(least), c.least, 0.5)
		near(t, "found 4 times in 5", 100*math.Log(seen), c.seen, 0.5)
		t.Logf("n %d: %.3f %.3f", c.n, 100*math.Log(least), 100*math.Log(seen))
		// The detectable ratio is the one whose power is the goal.
		near(t, "power", power(t, c.n, math.Log(seen)/0.15, 0.05), 0.8, 1e-9)
	}
}

// With one each the spread is borrowed: exp(1.96 x 0.15 x sqrt 2), and nine
// at once by the studentised range with infinite degrees of freedom.
func TestRatiosOfSingles(t *testing.T) {
	pair, err := stat.LeastSignificantRatio(1, 2, 0.15, 0.05, false)
	near(t, "pair", pair, math.Exp(1.959963984540054*0.15*math.Sqrt2), 1e-9)
	near(t, "pair", pair, 1.52, 0.005)
	nine, err2 := stat.LeastSignificantRatio(1, 9, 0.15, 0.05, true)
	near(t, "best and worst of nine", nine, 1.93, 0.005)
	two, err3 := stat.LeastSignificantRatio(1, 2, 0.15, 0.05, true)
	near(t, "all of two is one pair", two, pair, 2e-6)
	seen, err4 := stat.DetectableRatio(1, 2, 0.15, 0.05, 0.8, false)
	near(t, "found 4 times in 5", math.Log(seen), (1.959963984540054+0.8416212335729143)*0.15*math.Sqrt2, 1e-8)
	if err := errors.Join(err, err2, err3, err4); err != nil {
		t.Error(err)
	}
}

// Source: R 4.2.2, qtukey: 95 % points with 10 and 30 degrees of freedom.
func TestRatiosOfAllPairs(t *testing.T) {
	for _, c := range []struct {
		n, k int
		q    float64
	}{{3, 5, 4.6543}, {6, 6, 4.3015}, {6, 2, 3.1511}, {11, 3, 3.4864}} {
		got, err := stat.LeastSignificantRatio(c.n, c.k, 0.15, 0.05, true)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "all", math.Log(got), c.q*0.15/math.Sqrt(float64(c.n)), 1e-5)
		planned, _ := stat.LeastSignificantRatio(c.n, c.k, 0.15, 0.05, false)
		seen, _ := stat.DetectableRatio(c.n, c.k, 0.15, 0.05, 0.8, true)
		if planned > got+1e-9 || seen <= got {
			t.Errorf("planned %v, all %v, seen %v", planned, got, seen)
		}
	}
}

// By hand for two: 2 Φ(-d/sqrt 2). For more a simulation with a fixed seed.
func TestChanceBestLooksAhead(t *testing.T) {
	two, err := stat.ChanceBestLooksAhead(2, 3, 0.1, 0.15)
	near(t, "two", two, math.Erfc(math.Log(1.1)*math.Sqrt(3)/0.15/2), 1e-13)
	sure, err2 := stat.ChanceBestLooksAhead(7, 3, 0, 0.15)
	near(t, "ahead at all", sure, 1, 1e-13)
	many, err3 := stat.ChanceBestLooksAhead(1000, 3, 0, 0.15)
	near(t, "ahead of many", many, 1, 1e-12)
	if err := errors.Join(err, err2, err3); err != nil {
		t.Error(err)
	}
	random := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		k, n  int
		ahead float64
	}{{6, 4, 0.05}, {9, 1, 0.1}, {3, 2, 0.2}} {
		got, err := stat.ChanceBestLooksAhead(c.k, c.n, c.ahead, 0.15)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "simulated", simulated(random, c.k, c.n, c.ahead), got, 0.005)
	}
}

// simulated plays 100 000 rounds; its standard error is under 0.0016.
func simulated(random *rand.Rand, k, n int, ahead float64) float64 {
	const rounds = 100_000
	won, means := 0, make([]float64, k)
	for range rounds {
		for i := range means {
			sum := 0.0
			for range n {
				sum += random.NormFloat64()
			}
			means[i] = math.Exp(0.15 * sum / float64(n))
		}
		slices.Sort(means)
		if means[k-1] >= (1+ahead)*means[k-2] {
			won++
		}
	}
	return float64(won) / rounds
}

func TestImpossibleComparisonsAreErrors(t *testing.T) {
	ratio := func(n, k int, cv, alpha, power float64) error {
		_, err := stat.DetectableRatio(n, k, cv, alpha, power, true)
		return err
	}
	size := func(delta, sd, alpha, power float64) error {
		_, _, err := stat.SampleSizeT(delta, sd, alpha, power)
		return err
	}
	ahead := func(k, n int, share, cv float64) error {
		_, err := stat.ChanceBestLooksAhead(k, n, share, cv)
		return err
	}
	_, one := stat.PowerT(1, 1, 1, 0.05)
	nan, inf := math.NaN(), math.Inf(1)
	for i, c := range []struct{ got, want error }{
		{one, stat.ErrDesign},
		{ratio(0, 2, 0.15, 0.05, 0.8), stat.ErrDesign},
		{ratio(4, 1, 0.15, 0.05, 0.8), stat.ErrDesign},
		{ratio(4, 2, nan, 0.05, 0.8), stat.ErrDesign},
		{ratio(4, 2, inf, 0.05, 0.8), stat.ErrDesign},
		{ratio(4, 2, 0.15, 0, 0.8), stat.ErrLevel},
		{ratio(4, 2, 0.15, 0.05, 1), stat.ErrDesign},
		{ratio(4, 2, 0.15, 0.05, nan), stat.ErrDesign},
		{ratio(2, 2, 1e5, 0.05, 0.8), stat.ErrRange},
		{size(0, 1, 0.05, 0.8), stat.ErrDesign},
		{size(1, 1, 0.05, 0.01), stat.ErrDesign},
		{size(nan, 1, 0.05, 0.8), stat.ErrNotFinite},
		{size(1, 1, -1, 0.8), stat.ErrLevel},
		{size(1e-9, 1, 0.05, 0.8), stat.ErrRange},
		{ahead(2, 1, -0.1, 0.15), stat.ErrDesign},
		{ahead(2, 1, inf, 0.15), stat.ErrDesign},
		{ahead(1, 1, 0.1, 0.15), stat.ErrDesign},
	} {
		if !errors.Is(c.got, c.want) {
			t.Errorf("case %d: %v, want %v", i, c.got, c.want)
		}
	}
}

// Whatever comes, a chance lies within 0 and 1, a ratio is 1 or more and
// nothing else leaves.
func FuzzComparisons(f *testing.F) {
	f.Add(4, 5, 0.15, 0.05, 0.8, true)
	f.Add(1, 2, 1e-300, 0.9999999999999999, 0.99999999999999999, false)
	f.Add(math.MaxInt, 3, 1e300, 1e-15, 0.5, true)
	f.Add(2, 2, 1e-320, 0.5, 0.75, false)
	f.Fuzz(func(t *testing.T, n, k int, cv, alpha, power float64, all bool) {
		k = min(k, 30)
		p, err := stat.PowerT(n, power, cv, alpha)
		chances := []float64{p}
		if ahead, bad := stat.ChanceBestLooksAhead(k, n, power, cv); bad == nil && err == nil {
			chances = append(chances, ahead)
		}
		for _, c := range chances {
			if !(c >= 0 && c <= 1) {
				t.Errorf("chances %v", chances)
			}
		}
		least, err := stat.LeastSignificantRatio(n, k, cv, alpha, all)
		if err == nil && !(least >= 1 && least <= math.MaxFloat64) {
			t.Errorf("least %v", least)
		}
		seen, err := stat.DetectableRatio(n, k, cv, alpha, power, all)
		if err == nil && !(seen >= 1 && seen <= math.MaxFloat64) {
			t.Errorf("seen %v", seen)
		}
		exact, whole, err := stat.SampleSizeT(power, cv, alpha, 0.8)
		if err == nil && !(exact >= 2 && float64(whole) >= exact && float64(whole) < exact+1.000001) {
			t.Errorf("size %v %v", exact, whole)
		}
	})
}
