package stat_test

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"soaktag/tracker/stat"
)

// near checks an absolute difference.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.15g, want %.15g within %g", what, got, want, tolerance)
	}
}

func table(t *testing.T, name string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%s: %v, %d rows", name, err, len(rows))
	}
	return rows
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// NumAcc2 to 4 are generated: c+0.2, then 500 pairs (c+0.1, c+0.3).
func numacc(c float64) []float64 {
	xs := []float64{c + 0.2}
	for range 500 {
		xs = append(xs, c+0.1, c+0.3)
	}
	return xs
}

func column(t *testing.T, name string) (xs []float64) {
	for _, row := range table(t, name)[1:] {
		xs = append(xs, number(t, row[0]))
	}
	return xs
}

// digits is the log relative error, the count of correct digits.
func digits(got, want float64) float64 {
	if got == want {
		return 15
	}
	return min(15, -math.Log10(math.Abs(got-want)/math.Abs(want)))
}

// Certified values: NIST Statistical Reference Datasets, univariate. The last
// two columns are the digits that must be reached; NumAcc3 and NumAcc4 lose
// digits when their inputs are rounded to binary, before any arithmetic.
func TestMeanAndSDReachTheCertifiedDigits(t *testing.T) {
	for _, c := range []struct {
		name           string
		xs             []float64
		mean, sd       float64
		dMean, dSpread float64
	}{
		{"Michelso", column(t, "strd/michelso.csv"), 299.8524, 0.0790105478190518, 15, 13.5},
		{"Lottery", column(t, "strd/lottery.csv"), 518.958715596330, 291.699727470969, 14.5, 14.5},
		{"Lew", column(t, "strd/lew.csv"), -177.435, 277.332168044316, 15, 14.5},
		{"Mavro", column(t, "strd/mavro.csv"), 2.001856, 0.000429123454003053, 15, 13},
		{"NumAcc1", column(t, "strd/numacc1.csv"), 10000002, 1, 15, 15},
		{"NumAcc2", numacc(1), 1.2, 0.1, 15, 14},
		{"NumAcc3", numacc(1e6), 1000000.2, 0.1, 15, 9},
		{"NumAcc4", numacc(1e7), 10000000.2, 0.1, 15, 8},
	} {
		mean, err1 := stat.Mean(c.xs)
		sd, err2 := stat.SD(c.xs)
		if err1 != nil || err2 != nil {
			t.Fatal(c.name, err1, err2)
		}
		if d := digits(mean, c.mean); d < c.dMean {
			t.Errorf("%s: mean %.15g reaches %.1f digits, want %g", c.name, mean, d, c.dMean)
		}
		if d := digits(sd, c.sd); d < c.dSpread {
			t.Errorf("%s: sd %.15g reaches %.1f digits, want %g", c.name, sd, d, c.dSpread)
		}
		t.Logf("%s: mean %.1f digits, sd %.1f digits", c.name, digits(mean, c.mean), digits(sd, c.sd))
	}
}

// Source: R 4.2.2, qt; six decimals. Its last row, infinity, is the normal.
func TestTQuantileAgreesWithTheTable(t *testing.T) {
	rows := table(t, "t_table.csv")
	for _, row := range rows[1:] {
		df, err := strconv.ParseFloat(row[0], 64)
		if err != nil || math.IsInf(df, 0) {
			df = 1e12
		}
		for i, head := range rows[0][1:] {
			p := number(t, strings.TrimPrefix(head, "p"))
			got, err := stat.TQuantile(p, df)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "t("+head+", "+row[0]+")", got, number(t, row[i+1]), 1.1e-6)
		}
	}
}

// The two ways to a quantile meet at 1000 degrees of freedom.
func TestTQuantileHasNoStep(t *testing.T) {
	for _, p := range []float64{0.001, 0.4, 0.975, 0.9995} {
		below, _ := stat.TQuantile(p, 1000)
		above, _ := stat.TQuantile(p, 1000.0001)
		near(t, "t", above, below, 1e-8)
	}
}

var (
	sleep1 = []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0}
	sleep2 = []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
	ctrl   = []float64{4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14}
	trt1   = []float64{4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69}
	trt2   = []float64{6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26}
	crohn  = []float64{1.8, 2.2, 2.4, 2.5, 2.8, 2.8, 3.2, 3.6, 3.8, 4.0, 4.2, 4.4, 4.8, 5.6, 6.0, 6.2, 6.6, 7.0, 10.0, 10.4}
	coel   = []float64{1.8, 2.0, 2.0, 2.0, 3.0, 3.8, 4.2, 5.4, 7.6}
)

func logs(xs []float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = math.Log(x)
	}
	return out
}

func exped(xs []float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = math.Exp(x)
	}
	return out
}

// Source: R 4.2.2 t.test(sleep); Cushny and Peebles (1905).
func TestWelchDifferenceOfSleep(t *testing.T) {
	e, err := stat.WelchDifference(sleep1, sleep2, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", e.Value, -1.58, 1e-12)
	near(t, "t", e.Value/e.SE, -1.8608134674869, 1e-12)
	near(t, "df", e.DF, 17.7764735161785, 1e-11)
	near(t, "low", e.Limits.Low, -3.3654832307117, 1e-10)
	near(t, "high", e.Limits.High, 0.2054832307117, 1e-10)
}

// Source: R 4.2.2. Log scale: PlantGrowth (Dobson 1983) and the skinfolds of
// Bland and Altman, BMJ 1996;312:1153.
func TestWelchOnTheLogScale(t *testing.T) {
	for _, c := range []struct {
		name                string
		a, b                []float64
		ratio, low, high, d float64
	}{
		{"trt1/ctrl", trt1, ctrl, 0.920152916352, 0.803369857666, 1.05391231871, 16.0308466022},
		{"trt2/ctrl", trt2, ctrl, 1.10167170484, 1.00312511846, 1.20989946608, 15.8886645024},
		{"skinfold", crohn, coel, 1.34417063708, 0.870527699112, 2.07551661302, 14.8468573588},
	} {
		e, err := stat.WelchDifference(logs(c.a), logs(c.b), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name, math.Exp(e.Value), c.ratio, 1e-11)
		near(t, c.name+" low", math.Exp(e.Limits.Low), c.low, 1e-10)
		near(t, c.name+" high", math.Exp(e.Limits.High), c.high, 1e-10)
		near(t, c.name+" df", e.DF, c.d, 1e-9)
	}
}

// Source: R 4.2.2, delta method on PlantGrowth.
func TestWelchLogRatioOfPlantGrowth(t *testing.T) {
	for _, c := range []struct {
		xs     []float64
		ln, se float64
	}{{trt1, -0.0765875020075, 0.0651327298192}, {trt2, 0.0936467071031, 0.0445440141971}} {
		e, err := stat.WelchLogRatio(c.xs, ctrl, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "ln ratio", math.Log(e.Value), c.ln, 1e-12)
		near(t, "se", e.SE, c.se, 1e-12)
		near(t, "half width", math.Log(e.Limits.High/e.Limits.Low)/2, tOf(t, e.DF)*c.se, 1e-11)
	}
}

func tOf(t *testing.T, df float64) float64 {
	t.Helper()
	q, err := stat.TQuantile(0.975, df)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// Source: R 4.2.2, paired t test of sleep; carried through exp and ln.
func TestPairedLogRatioOfSleep(t *testing.T) {
	e, err := stat.PairedLogRatio(exped(sleep1), exped(sleep2), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", math.Log(e.Value), -1.58, 1e-12)
	near(t, "low", math.Log(e.Limits.Low), -2.45988576327698, 1e-11)
	near(t, "high", math.Log(e.Limits.High), -0.70011423672302, 1e-11)
	near(t, "df", e.DF, 9, 0)
}

// Common practice, no published source: definitions by hand.
func TestTInterval(t *testing.T) {
	e, err := stat.TInterval([]float64{1, 2, 3}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half width", e.Limits.High-2, 4.302653/math.Sqrt(3), 1e-6)
}

func TestTooLittleDataWarns(t *testing.T) {
	one := []float64{5}
	for name, f := range map[string]func() (stat.Estimate, error){
		"t":      func() (stat.Estimate, error) { return stat.TInterval(one, 0.95) },
		"welch":  func() (stat.Estimate, error) { return stat.WelchLogRatio(one, ctrl, 0.95) },
		"paired": func() (stat.Estimate, error) { return stat.PairedLogRatio(one, one, 0.95) },
	} {
		e, err := f()
		if err != nil || e.Limits != nil || len(e.Warnings) != 1 || !(e.Value > 0) {
			t.Errorf("%s: %+v, %v", name, e, err)
		}
	}
	e, err := stat.WelchLogRatio([]float64{2, 2}, []float64{4, 4}, 0.95)
	if err != nil || e.Limits.Low != 0.5 || len(e.Warnings) != 1 {
		t.Errorf("no spread: %+v, %v", e, err)
	}
}

func TestImpossibleDataIsAnError(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name string
		err  error
		f    func() error
	}{
		{"none", stat.ErrNoData, func() error { _, err := stat.Mean(nil); return err }},
		{"nan", stat.ErrNotFinite, func() error { _, err := stat.SD([]float64{1, nan}); return err }},
		{"inf", stat.ErrNotFinite, func() error { _, err := stat.Mean([]float64{inf}); return err }},
		{"one", stat.ErrOneValue, func() error { _, err := stat.SD([]float64{1}); return err }},
		{"zero", stat.ErrNotPositive, func() error { _, err := stat.WelchLogRatio([]float64{1, 0}, ctrl, 0.95); return err }},
		{"negative", stat.ErrNotPositive, func() error { _, err := stat.PairedLogRatio([]float64{1, -1}, []float64{1, 2}, 0.95); return err }},
		{"unpaired", stat.ErrUnpaired, func() error { _, err := stat.PairedLogRatio([]float64{1}, nil, 0.95); return err }},
		{"huge", stat.ErrRange, func() error { _, err := stat.Mean([]float64{math.MaxFloat64, math.MaxFloat64}); return err }},
		{"level", stat.ErrLevel, func() error { _, err := stat.TInterval(ctrl, 1); return err }},
	} {
		if err := c.f(); !errors.Is(err, c.err) {
			t.Errorf("%s: %v, want %v", c.name, err, c.err)
		}
	}
}

// Scale and order must not matter.
func TestRatioIsFreeOfScaleAndOrder(t *testing.T) {
	e, _ := stat.WelchLogRatio(trt1, ctrl, 0.95)
	scaled, turned := []float64{}, []float64{}
	for i := range trt1 {
		scaled = append(scaled, 145.0377*trt1[i])
		turned = append(turned, trt1[len(trt1)-1-i])
	}
	f, err := stat.WelchLogRatio(scaled, ctrl, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "scale", f.Value/e.Value, 145.0377, 1e-9)
	near(t, "width", f.Limits.High/f.Limits.Low, e.Limits.High/e.Limits.Low, 1e-12)
	g, _ := stat.WelchLogRatio(turned, ctrl, 0.95)
	near(t, "order", g.Value, e.Value, 1e-14)
}

// Whatever three numbers come, nothing panics and no NaN leaves.
func FuzzEstimates(f *testing.F) {
	f.Add(1.0, 2.0, 3.0)
	f.Add(math.MaxFloat64, math.SmallestNonzeroFloat64, -1.0)
	f.Add(math.NaN(), math.Inf(1), 0.0)
	f.Fuzz(func(t *testing.T, a, b, c float64) {
		for _, g := range []func() (stat.Estimate, error){
			func() (stat.Estimate, error) { return stat.TInterval([]float64{a, b, c}, 0.95) },
			func() (stat.Estimate, error) { return stat.WelchDifference([]float64{a, b}, []float64{b, c}, 0.95) },
			func() (stat.Estimate, error) { return stat.WelchLogRatio([]float64{a, b}, []float64{b, c}, 0.95) },
			func() (stat.Estimate, error) { return stat.PairedLogRatio([]float64{a, b}, []float64{b, c}, 0.95) },
		} {
			e, err := g()
			if err != nil {
				continue
			}
			all := []float64{e.Value, e.DF, e.SE}
			if e.Limits != nil {
				all = append(all, e.Limits.Low, e.Limits.High)
			}
			if _, err := stat.Mean(all); errors.Is(err, stat.ErrNotFinite) {
				t.Errorf("%v %v %v gave %+v", a, b, c, e)
			}
		}
	})
}

// atLeastIf is the bound of an observation that is a lower bound or not.
func atLeastIf(bound bool) stat.Bound {
	if bound {
		return stat.AtLeast
	}
	return stat.Exact
}
