package stat

import (
	"math"
	"testing"
)

// pooledFieller is Fieller with one spread for both samples. Only the
// variances and the degrees of freedom differ, so it checks solve.
func pooledFieller(t *testing.T, num, den []float64, level float64) (f FiellerRatio, g float64) {
	t.Helper()
	means, ms, df, err := pooled([][]float64{num, den})
	if err != nil {
		t.Fatal(err)
	}
	q, err := TQuantile(1-(1-level)/2, float64(df))
	if err != nil {
		t.Fatal(err)
	}
	square := means[1] * means[1]
	vn, vd := ms/float64(len(num))/square, ms/float64(len(den))/square
	f = FiellerRatio{Estimate: Estimate{Value: means[0] / means[1]}}
	if f, err = f.solve(vn, vd, q); err != nil {
		t.Fatal(err)
	}
	return f, q * q * vd
}

var (
	asatControl = []float64{1.33, 1.78, 1.53, 1.95, 1.83, 1.47, 1.87, 1.55, 2.58, 2.17, 1.97, 1.62, 2.25, 3.53, 2.92, 1.78, 2.22, 2.55, 2.75}
	asatTreated = []float64{1.53, 1.75, 2.12, 2.83, 2.58, 2.37, 2.92, 2.08, 3.01, 2.67, 2.06, 2.25, 3.08, 2.01, 1.58}
	ratControl  = []float64{519.8, 535.7, 491.7, 508.7, 565.5, 485.8, 520.7, 507.5, 428.9, 466.0}
	ratDose     = []float64{465.0, 492.2, 466.3, 555.5, 528.1, 483.8, 502.8, 468.1, 519.2, 500.2}
	skinCrohn   = []float64{1.8, 2.2, 2.4, 2.5, 2.8, 2.8, 3.2, 3.6, 3.8, 4.0, 4.2, 4.4, 4.8, 5.6, 6.0, 6.2, 6.6, 7.0, 10.0, 10.4}
	skinCoeliac = []float64{1.8, 2.0, 2.0, 2.0, 3.0, 3.8, 4.2, 5.4, 7.6}
	sleepFirst  = []float64{0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0}
	sleepSecond = []float64{1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4}
)

// Source: R 4.2.2, by own formula and by ttestratio of mratios 1.4.4, pooled.
// Data: Hauschke (1999); rat weights of mratios; Bland and Altman, BMJ
// 1996;312:1153.
func TestFiellerSolvesPooledSets(t *testing.T) {
	for _, c := range []struct {
		name                    string
		num, den                []float64
		level, ratio, low, high float64
	}{
		{"ASAT", asatTreated, asatControl, 0.95, 1.11300546448, 0.934887055057, 1.324610989319},
		{"ASAT, upper", asatTreated, asatControl, 0.9, 1.11300546448, math.NaN(), 1.28601483107},
		{"rats", ratDose, ratControl, 0.9, 0.990239150746, 0.939372738278, 1.043831481691},
		{"skinfold", skinCrohn, skinCoeliac, 0.95, 1.334433962264, 0.852501483557, 2.472659139926},
	} {
		f, _ := pooledFieller(t, c.num, c.den, c.level)
		if f.Shape != Bounded {
			t.Fatalf("%s: %+v", c.name, f)
		}
		for _, pair := range [][2]float64{{f.Value, c.ratio}, {f.Limits.Low, c.low}, {f.Limits.High, c.high}} {
			if math.Abs(pair[0]-pair[1]) > 1e-11 {
				t.Errorf("%s: %.13g, want %.13g", c.name, pair[0], pair[1])
			}
		}
	}
}

// Source: R 4.2.2, sleep (Cushny and Peebles 1905), pooled: g is 2.83 and the
// two roots are the ends of what is ruled out, not an interval.
func TestFiellerSolvesSleepOutside(t *testing.T) {
	f, g := pooledFieller(t, sleepSecond, sleepFirst, 0.95)
	if f.Shape != Outside || f.Limits != nil || f.Excluded == nil {
		t.Fatalf("%+v", f)
	}
	e := *f.Excluded
	if math.Abs(g-2.82862805606) > 1e-10 || math.Abs(e.Low+4.2713) > 5e-5 || math.Abs(e.High-0.8735) > 5e-5 {
		t.Errorf("g = %v, excluded %v", g, e)
	}
}
