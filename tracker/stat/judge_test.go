package stat_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"soaktag/tracker/stat"
)

// ranked fills in the mean that each contender is ranked by.
func ranked(all ...stat.Contender) []stat.Contender {
	for i, c := range all {
		sum := 0.0
		for _, x := range slices.Concat(c.Exact, c.Limited) {
			sum += x
		}
		if n := len(c.Exact) + len(c.Limited) + c.Zeros; n > 0 {
			all[i].Mean = sum / float64(n)
		}
	}
	return all
}

func verdicts(t *testing.T, all ...stat.Contender) []stat.Verdict {
	t.Helper()
	out, err := stat.Judge(ranked(all...), 0.95)
	if err != nil || len(out) != len(all)*(len(all)-1)/2 {
		t.Fatalf("%d verdicts, %v", len(out), err)
	}
	return out
}

// contender reads "exact 6.9 7.4;at least 3 5;zeros 0".
func contender(t *testing.T, text string) (c stat.Contender) {
	t.Helper()
	for _, part := range strings.Split(text, ";") {
		word, rest, _ := strings.Cut(strings.Replace(strings.TrimSpace(part), "at least", "at_least", 1), " ")
		xs := numbers(t, rest)
		switch word {
		case "exact":
			c.Exact = xs
		case "limited":
			c.Limited = xs
		case "at_least":
			c.AtLeast = xs
		case "zeros":
			c.Zeros = int(xs[0])
		default:
			t.Fatalf("%q", text)
		}
	}
	return c
}

func numbers(t *testing.T, text string) (xs []float64) {
	t.Helper()
	for _, word := range strings.Fields(text) {
		xs = append(xs, number(t, word))
	}
	return xs
}

// Source: R 4.2.2, by a script of its own from the formulas (ptukey, pt, uniroot,
// fisher.test, and a likelihood maximised by optim), to ten digits; testdata/README.md.
func TestJudgeAgreesWithR(t *testing.T) {
	for _, row := range table(t, "told_apart.csv")[1:] {
		if row[2] == "" {
			continue
		}
		var all []stat.Contender
		for _, text := range strings.Split(row[1], " | ") {
			all = append(all, contender(t, text))
		}
		a, b, _ := strings.Cut(row[2], "-")
		v := verdictOn(t, verdicts(t, all...), a, b)
		got := map[string]float64{"p strength": v.PValues, "p shares": v.PZeros, "half width": v.Half}[row[3]]
		near(t, row[0]+" "+row[2]+" "+row[3], got, number(t, row[4]), 1e-7)
	}
}

func verdictOn(t *testing.T, all []stat.Verdict, a, b string) stat.Verdict {
	t.Helper()
	x, err1 := strconv.Atoi(a)
	y, err2 := strconv.Atoi(b)
	i := slices.IndexFunc(all, func(v stat.Verdict) bool { return v.A == x-1 && v.B == y-1 })
	if err1 != nil || err2 != nil || i < 0 {
		t.Fatalf("no pair %s-%s", a, b)
	}
	return all[i]
}

// Source: R 4.2.2, pt with Welch's degrees of freedom (at most those of the smaller group
// twice), each variance of a mean at least division^2/12; ptukey of the pooled spread lies
// far under these. Of a division that is not known nothing is told.
func TestEqualReadingsAreKnownToADivision(t *testing.T) {
	for _, c := range []struct {
		a, b   string
		da, db float64
		p      float64
		better int
		ground stat.Ground
	}{
		{"8 8 8", "5 5.4 5.1", 0.2, 0.2, 0.0058411951, 1, stat.ByValues},
		{"8 8 8", "5 5.4 5.1", 0.025, 0.04, 0.0012990421, 1, stat.ByValues},
		{"8 8 8 8", "7 7.4 7.1", 0.1, 0.1, 0.0540218232, 0, stat.OnlyPooled},
		{"8 8 8", "5 5.4 5.1", 0, 0.04, 1, 0, stat.OnlyPooled},
		{"8 8 8", "5 5 5", 0.025, 0.04, 1, 0, stat.NothingFound},
	} {
		a, b := stat.Contender{Exact: numbers(t, c.a), Division: c.da}, stat.Contender{Exact: numbers(t, c.b), Division: c.db}
		v := verdicts(t, a, b)[0]
		near(t, c.a, v.PValues, c.p, 1e-9)
		if v.Better != c.better || v.Ground != c.ground || (v.Half > 0) != (c.p < 1) {
			t.Errorf("%s and %s: %+v", c.a, c.b, v)
		}
	}
}

// Equal readings may come apart by their last digit on the way: that is no spread.
func TestRoundingIsNoSpread(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 1))
	for range 100 {
		equal := slices.Repeat([]float64{5 + 5*rng.Float64()}, 2+rng.IntN(7))
		equal[0] = math.Nextafter(equal[0], 0)
		if v := verdicts(t, stat.Contender{Exact: equal}, stat.Contender{Exact: []float64{1, 1.2, 1.1}})[0]; v.PValues != 1 || v.Better != 0 {
			t.Fatalf("%v: %+v", equal, v)
		}
	}
}

// Source: as above; limits from the likelihood by uniroot.
func TestFitsCountBoundsAsR(t *testing.T) {
	for _, row := range table(t, "told_apart.csv")[1:] {
		if row[2] != "" {
			continue
		}
		var obs []stat.Observation
		for _, word := range strings.Fields(row[1]) {
			bound, text := stat.Exact, strings.TrimPrefix(word, ">=")
			if text != word {
				bound = stat.AtLeast
			}
			obs = append(obs, stat.Observation{Value: number(t, text), Bound: bound})
		}
		fit := fitted(t, obs, stat.LogNormal)
		got := map[string]float64{"median": fit.Value, "low": fit.Limits.Low, "high": fit.Limits.High, "se log": fit.SE, "worth n": fit.Worth}[row[3]]
		near(t, row[0]+" "+row[3], got, number(t, row[4]), 1e-7)
	}
}

// Common practice, no published source: what each kind of study must come to.
func TestGroundsOfAVerdict(t *testing.T) {
	held := []float64{9, 9.75, 10.5, 9.25, 10, 10.75, 9.5, 10.25}
	for name, c := range map[string]struct {
		a, b   stat.Contender
		better int
		ground stat.Ground
	}{
		"stronger":         {stat.Contender{Exact: []float64{10, 10.4, 9.8}}, stat.Contender{Exact: []float64{6, 6.2, 6.1}}, 1, stat.ByValues},
		"nothing":          {stat.Contender{Exact: []float64{10, 10.4, 9.8}}, stat.Contender{Exact: []float64{10.1, 10.2, 10}}, 0, stat.NothingFound},
		"one of one":       {stat.Contender{Exact: []float64{14}}, stat.Contender{Exact: []float64{5, 5.1, 5.2, 4.9}}, 0, stat.OnlyPooled},
		"two wide":         {stat.Contender{Exact: []float64{14, 9}}, stat.Contender{Exact: []float64{5, 5.1, 5.2, 4.9, 5, 5, 5.1, 5}}, 0, stat.OnlyPooled},
		"fewer fell":       {stat.Contender{Exact: held}, stat.Contender{Exact: []float64{9.7, 10.3}, Zeros: 6}, 1, stat.ByZeros},
		"all fell":         {stat.Contender{Zeros: 4}, stat.Contender{Exact: []float64{9, 10, 9.5, 9.8}}, -1, stat.ByZeros},
		"three of three":   {stat.Contender{Zeros: 3}, stat.Contender{Exact: []float64{9, 10, 9.5}}, 0, stat.NothingFound},
		"both":             {stat.Contender{Exact: held}, stat.Contender{Exact: []float64{3, 3.1}, Zeros: 6}, 1, stat.ByBoth},
		"opposed":          {stat.Contender{Exact: held}, stat.Contender{Exact: []float64{30, 31, 30.5, 31.5}, Zeros: 12}, 0, stat.Opposed},
		"half of the top":  {stat.Contender{Exact: []float64{18, 18.2, 17.9, 18.1}, Zeros: 4}, stat.Contender{Exact: []float64{8, 8.1, 8.2, 7.9, 8, 8.1, 8, 7.9}}, 0, stat.MoreZeros},
		"one of the top":   {stat.Contender{Exact: []float64{18, 18.2, 17.9, 18.1, 18, 18, 18.1}, Zeros: 1}, stat.Contender{Exact: []float64{8, 8.1, 8.2, 7.9, 8, 8.1, 8, 7.9}}, 1, stat.ByValues},
		"zeros in the top": {stat.Contender{Exact: []float64{12, 12.2, 12.1, 11.9}, Zeros: 3}, stat.Contender{Exact: []float64{8, 8.1, 8.2, 7.9}}, 0, stat.MoreZeros},
		"bimodal": {stat.Contender{Exact: []float64{0.12, 0.1, 0.14, 18, 18.1, 17.9, 18, 18.2}},
			stat.Contender{Exact: []float64{11.9, 12, 11.8, 12.1, 11.9, 12, 11.8, 12.1}}, 0, stat.NothingFound},
		"bound above":  {stat.Contender{Exact: []float64{8.1, 8.2, 8}}, stat.Contender{Exact: []float64{7, 7.1}, AtLeast: []float64{12, 12.5, 13}}, 0, stat.BoundsHide},
		"bounds below": {stat.Contender{Exact: []float64{10.5, 11.2, 10.1, 10.9}}, stat.Contender{Exact: []float64{6.9, 7.4, 7.1, 6.6}, AtLeast: []float64{3, 5}}, 1, stat.ByValues},
		"all limited":  {stat.Contender{Exact: []float64{10, 10.4, 9.8}}, stat.Contender{Limited: []float64{6, 6.2, 6.1}}, 0, stat.BoundsHide},
		"top limited":  {stat.Contender{Limited: []float64{10, 10.4, 9.8}}, stat.Contender{Exact: []float64{6, 6.2, 6.1}}, 1, stat.ByValues},
		"equal values": {stat.Contender{Exact: []float64{8, 8, 8}}, stat.Contender{Exact: []float64{6, 6, 6}}, 0, stat.NothingFound},
	} {
		v := verdicts(t, c.a, c.b)[0]
		if v.Better != c.better || v.Ground != c.ground {
			t.Errorf("%s: %+v, want %d by %d", name, v, c.better, c.ground)
		}
		w := verdicts(t, c.b, c.a)[0]
		if w.Better != -v.Better || w.Ground != v.Ground || math.Abs(w.PValues-v.PValues) > 1e-12 || math.Abs(w.PZeros-v.PZeros) > 1e-12 {
			t.Errorf("%s, turned round: %+v, %+v", name, v, w)
		}
	}
}

// The mean ranks them one way, the logarithms the other.
func TestMeansMustRankAsLogarithms(t *testing.T) {
	wide := stat.Contender{Exact: slices.Repeat([]float64{1, 25, 1.1, 24}, 8)}
	even := stat.Contender{Exact: slices.Repeat([]float64{11.9, 12, 11.8, 12.1}, 8)}
	v := verdicts(t, wide, even)[0]
	if v.Better != 0 || v.Ground != stat.MeansDisagree {
		t.Errorf("%+v", v)
	}
}

// Orders, limits and p say the same: limits that leave out 0 are those of a p under
// the risk, in the order in which they came or any other, in any unit.
func TestVerdictsFitTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 400 {
		all := randomContenders(rng, 2+rng.IntN(4))
		first := verdicts(t, all...)
		for _, v := range first {
			fits(t, all, v)
		}
		swapped, scaled := slices.Clone(all), []stat.Contender{}
		slices.Reverse(swapped)
		for _, c := range swapped {
			scaled = append(scaled, stat.Contender{Exact: times(c.Exact), Limited: times(c.Limited), AtLeast: times(c.AtLeast), Zeros: c.Zeros})
		}
		scaled = append(scaled, stat.Contender{})
		for _, w := range verdicts(t, scaled...) {
			if w.B == len(all) {
				continue
			}
			v := verdictOn(t, first, fmt.Sprint(len(all)-w.B), fmt.Sprint(len(all)-w.A))
			if w.Better != -v.Better || w.Ground != v.Ground || math.Abs(w.PValues-v.PValues) > 1e-9 || w.PZeros != v.PZeros || math.Abs(w.Half-v.Half) > 1e-9 {
				t.Fatalf("%+v: %+v, %+v", all, v, w)
			}
		}
	}
}

func times(xs []float64) (out []float64) {
	for _, x := range xs {
		out = append(out, 145.0377*x)
	}
	return out
}

func fits(t *testing.T, all []stat.Contender, v stat.Verdict) {
	t.Helper()
	a, b := slices.Concat(all[v.A].Exact, all[v.A].Limited), slices.Concat(all[v.B].Exact, all[v.B].Limited)
	switch {
	case v.Better != 0 && float64(v.Better)*(all[v.A].Mean-all[v.B].Mean) <= 0:
		t.Errorf("%+v: against the means of %+v", v, all)
	case v.Better != 0 && v.P(0.95) >= 0.05:
		t.Errorf("%+v: an order at p %v", v, v.P(0.95))
	case v.Half > 0 && v.Ground != stat.BoundsHide:
		d := math.Abs(meanOf(t, logs(a)) - meanOf(t, logs(b)))
		limited := len(all[v.A].Limited)+len(all[v.A].AtLeast)+len(all[v.B].Limited)+len(all[v.B].AtLeast) > 0
		if found := v.PValues < v.Risk; found != (d > v.Half) && !limited && math.Abs(d-v.Half) > 1e-7 {
			t.Errorf("%+v: ± %v about %v", v, v.Half, d)
		}
	}
}

func meanOf(t *testing.T, xs []float64) float64 {
	t.Helper()
	mean, err := stat.Mean(xs)
	if err != nil {
		t.Fatal(err)
	}
	return mean
}

func randomContenders(rng *rand.Rand, k int) (all []stat.Contender) {
	for range k {
		var c stat.Contender
		centre, sd := 10*math.Exp(0.4*rng.NormFloat64()), 0.05+0.3*rng.Float64()
		for range 2 + rng.IntN(6) {
			x := centre * math.Exp(sd*rng.NormFloat64())
			switch rng.IntN(8) {
			case 0:
				c.Limited = append(c.Limited, x)
			case 1:
				c.AtLeast = append(c.AtLeast, x/2)
			case 2:
				c.Zeros++
			default:
				c.Exact = append(c.Exact, x)
			}
		}
		all = append(all, c)
	}
	return ranked(all...)
}

// Source: R 4.2.2 fisher.test of the three tables, seven digits.
func TestFisherAgreesWithR(t *testing.T) {
	for _, c := range []struct {
		x, n, y, m int
		p          float64
	}{{0, 8, 6, 8, 0.006993007}, {1, 4, 6, 10, 0.5594406}, {2, 9, 3, 14, 1}} {
		v := verdicts(t, contenderOf(c.x, c.n), contenderOf(c.y, c.m))[0]
		near(t, fmt.Sprint(c), v.PZeros, c.p, 5e-8)
	}
}

func contenderOf(zeros, of int) stat.Contender {
	return stat.Contender{Exact: slices.Repeat([]float64{8}, of-zeros), Zeros: zeros}
}

// More groups than sets can be gone through: Fisher's p times the number of pairs.
func TestSharesOfManyGroups(t *testing.T) {
	var all []stat.Contender
	for i := range 14 {
		all = append(all, contenderOf(i/13*8, 8))
	}
	near(t, "p", verdictOn(t, verdicts(t, all...), "1", "14").PZeros, 91.0/6435, 1e-9)
	near(t, "p", verdictOn(t, verdicts(t, all...), "1", "2").PZeros, 1, 0)
}

func TestImpossibleContenders(t *testing.T) {
	ok := stat.Contender{Exact: []float64{1, 2}}
	for name, all := range map[string][]stat.Contender{
		"one":          {ok},
		"zero":         {ok, {Exact: []float64{0}}},
		"nan":          {ok, {AtLeast: []float64{math.NaN()}}},
		"mean":         {ok, {Mean: math.Inf(1)}},
		"minus zeros":  {ok, {Zeros: -1}},
		"minus values": {ok, {Limited: []float64{-1}}},
	} {
		if _, err := stat.Judge(all, 0.95); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := stat.Judge([]stat.Contender{ok, ok}, 1); err == nil {
		t.Error("level 1: no error")
	}
}

func FuzzJudge(f *testing.F) {
	f.Add(9.89, 9.03, 11.19, 9.26, 9.0, uint8(12), uint8(0))
	f.Add(1e300, 1e-300, 5e-324, 1.0, 1.0, uint8(1), uint8(3))
	f.Fuzz(func(t *testing.T, a, b, c, d, e float64, flags, zeros uint8) {
		all := []stat.Contender{{Exact: []float64{a, b}, Zeros: int(zeros % 9)}, {Exact: []float64{c, d}, Limited: []float64{e}}, {Exact: []float64{b}, AtLeast: []float64{e}, Zeros: int(flags % 5)}}
		out, err := stat.Judge(all, 0.95)
		for _, v := range out {
			finite(t, v.PValues, v.PZeros, v.Half, v.Risk)
		}
		if err == nil && len(out) != 3 {
			t.Error(len(out))
		}
	})
}

func BenchmarkJudgeNineOfNine(b *testing.B) {
	rng := rand.New(rand.NewPCG(13, 14))
	var all []stat.Contender
	for range 9 {
		c := stat.Contender{Zeros: rng.IntN(3)}
		for range 9 - c.Zeros {
			c.Exact = append(c.Exact, 10*math.Exp(0.15*rng.NormFloat64()))
		}
		c.Exact, c.Limited = c.Exact[1:], c.Exact[:1]
		all = append(all, c)
	}
	for b.Loop() {
		if _, err := stat.Judge(ranked(all...), 0.95); err != nil {
			b.Fatal(err)
		}
	}
}
