package stat_test

import (
	"errors"
	"math"
	"testing"

	"soaktag/tracker/stat"
)

// Source: R 4.2.2 by own formula and by ttestratio of mratios 1.4.4, unpooled
// with Welch's degrees of freedom at the ratio seen. Data: Dobson (1983), and
// the mutagenicity set of mratios.
func TestFiellerAgreesWithR(t *testing.T) {
	cyclo, vehicle := []float64{15, 20, 32, 33}, []float64{1, 2, 2, 2, 3, 3, 5}
	for _, c := range []struct {
		name                 string
		num, den             []float64
		ratio, low, high, df float64
	}{
		{"trt1/ctrl", trt1, ctrl, 0.926271860095, 0.803406606782, 1.06039955298, 15.8636721833},
		{"trt2/ctrl", trt2, ctrl, 1.09817170111, 1.0006119703, 1.20906508838, 16.0010067646},
		{"cyclo/vehicle", cyclo, vehicle, 9.72222222222, 5.17164813995, 18.65952695647, 0},
	} {
		f, err := stat.Fieller(c.num, c.den, 0.95)
		if err != nil || f.Shape != stat.Bounded {
			t.Fatal(c.name, f, err)
		}
		near(t, c.name, f.Value, c.ratio, 1e-11)
		near(t, c.name+" low", f.Limits.Low, c.low, 1e-10)
		near(t, c.name+" high", f.Limits.High, c.high, 1e-10)
		if c.df > 0 {
			near(t, c.name+" df", f.DF, c.df, 1e-9)
		}
		t.Logf("%s: low %.1f, high %.1f digits", c.name, digits(f.Limits.Low, c.low), digits(f.Limits.High, c.high))
	}
}

// with makes four values of a given mean and standard deviation.
func with(mean, sd float64) []float64 {
	d := sd * math.Sqrt(0.75)
	return []float64{mean - d, mean + d, mean - d, mean + d}
}

// Invented example of the demo study, 4.02 (0.39) over 12.79 (0.44), four
// each, to the rounding of its inputs: 26.9 to 36.1 %.
func TestFiellerOfTheExample(t *testing.T) {
	f, err := stat.Fieller(with(4.02, 0.39), with(12.79, 0.44), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "low", 100*f.Limits.Low, 26.9, 0.1)
	near(t, "high", 100*f.Limits.High, 36.1, 0.1)
}

// The definition: a ratio is inside when num - ratio x den does not differ
// from zero. Common practice, no published source.
func TestFiellerShapes(t *testing.T) {
	// Sleep: the denominator's mean, 0.75, is not clear of zero.
	f, err := stat.Fieller(sleep2, sleep1, 0.95)
	if err != nil || f.Shape != stat.Outside || f.Limits != nil || f.Excluded == nil || len(f.Warnings) != 1 {
		t.Fatalf("sleep: %+v, %v", f, err)
	}
	near(t, "ratio", f.Value, 3.10666666667, 1e-11)
	if e := *f.Excluded; !(e.Low < e.High) || e.Low <= f.Value && f.Value <= e.High {
		t.Errorf("excluded %v holds the ratio", e)
	}
	f, err = stat.Fieller([]float64{-1, 1.1}, []float64{-1, 1.2}, 0.95)
	if err != nil || f.Shape != stat.Everything || f.Limits != nil || f.Excluded != nil {
		t.Errorf("noise: %+v, %v", f, err)
	}
	f, err = stat.Fieller([]float64{4}, ctrl, 0.95)
	if err != nil || f.Shape != stat.Everything || len(f.Warnings) != 1 {
		t.Errorf("one value: %+v, %v", f, err)
	}
	f, err = stat.Fieller([]float64{2, 2}, []float64{4, 4}, 0.95)
	if err != nil || f.Shape != stat.Bounded || f.Limits.Low != 0.5 || len(f.Warnings) != 1 {
		t.Errorf("no spread: %+v, %v", f, err)
	}
}

func TestFiellerShapesHaveWords(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range []stat.FiellerShape{stat.Bounded, stat.Outside, stat.Everything, 9} {
		seen[s.String()] = true
	}
	if len(seen) != 4 || seen[""] {
		t.Errorf("%v", seen)
	}
}

func TestFiellerRefuses(t *testing.T) {
	for _, c := range []struct {
		num, den []float64
		level    float64
		err      error
	}{
		{nil, ctrl, 0.95, stat.ErrNoData},
		{ctrl, []float64{math.NaN()}, 0.95, stat.ErrNotFinite},
		{ctrl, []float64{-1, 1}, 0.95, stat.ErrZeroMean},
		{ctrl, ctrl, 1, stat.ErrLevel},
		{[]float64{1e300}, []float64{1e-300}, 0.95, stat.ErrRange},
	} {
		if _, err := stat.Fieller(c.num, c.den, c.level); !errors.Is(err, c.err) {
			t.Errorf("%v over %v: %v, want %v", c.num, c.den, err, c.err)
		}
	}
}

// Finite, or an error; and the limits enclose the ratio.
func FuzzFieller(f *testing.F) {
	f.Add(1.0, 2.0, 3.0, 4.0, 0.95)
	f.Add(1e300, -1e300, 1e-300, 2e-300, 0.5)
	f.Add(0.0, 0.0, -1.0, 1.0000001, 0.9999999)
	f.Fuzz(func(t *testing.T, a, b, c, d, level float64) {
		r, err := stat.Fieller([]float64{a, b}, []float64{c, d}, level)
		if err != nil {
			return
		}
		all := []float64{r.Value, r.SE, r.DF}
		for _, l := range []*stat.Limits{r.Limits, r.Excluded} {
			if l != nil {
				all = append(all, l.Low, l.High)
			}
		}
		if !allFinite(all) || (r.Limits != nil) != (r.Shape == stat.Bounded) || (r.Excluded != nil) != (r.Shape == stat.Outside) {
			t.Errorf("%v %v over %v %v: %+v, %v", a, b, c, d, r, err)
		}
	})
}
