package stat_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"soaktag/tracker/stat"
)

// Source: R 4.2.2, qtukey, six decimals. Only the rows asked for in the trade
// (few groups, few degrees of freedom) are inverted in full; every point of
// the table is checked through the distribution function.
func TestStudentisedRangeAgreesWithTheTable(t *testing.T) {
	rows := table(t, "q_tukey95.csv")
	for _, row := range rows[1:] {
		df := math.Inf(1)
		if row[0] != "inf" && row[0] != "Inf" {
			df = number(t, row[0])
		}
		if math.IsInf(df, 1) {
			continue
		}
		for i, head := range rows[0][1:] {
			k := int(number(t, strings.TrimPrefix(head, "k")))
			near(t, "CDF("+head+", "+row[0]+")", stat.Studentised{K: k, DF: df}.CDF(number(t, row[i+1])), 0.95, 3e-7)
		}
	}
	q, err := stat.Studentised{K: 4, DF: 20}.Quantile(0.95)
	near(t, "q", q, 3.95829346145, 3e-7)
	if err != nil {
		t.Error(err)
	}
}

// Source: R 4.2.2, both integrals by integrate() to a relative 1e-12; ptukey itself has
// no value at one degree of freedom.
func TestStudentisedRangeOfFewDegrees(t *testing.T) {
	for _, c := range []struct {
		k        int
		df, q, p float64
	}{
		{3, 1, 26.98, 0.049991736657}, {3, 2, 8.331, 0.049997522302}, {3, 3, 5.91, 0.049991200862}, {3, 4, 5.04, 0.050007420056},
		{9, 1, 47.36, 0.049996396881}, {9, 2, 13.54, 0.049992685340}, {9, 3, 9.177, 0.049994443784}, {9, 4, 7.602, 0.049989332421},
	} {
		near(t, fmt.Sprint(c), stat.Studentised{K: c.k, DF: c.df}.Beyond(c.q), c.p, 1e-11)
	}
}

// With two groups the studentised range is |t| sqrt 2, an identity.
func TestTwoGroupsAreStudentsT(t *testing.T) {
	for _, df := range []float64{2, 5, 30} {
		q, err := stat.Studentised{K: 2, DF: df}.Quantile(0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "q", q, math.Sqrt2*tOf(t, df), 1e-6)
	}
}

// The same identity far out, where only Student's t of the library says how small
// the chance is. Between one and two degrees of freedom the density has no slope
// at zero, and a thousandth is left.
func TestTwoGroupsFarOut(t *testing.T) {
	for df, tolerance := range map[float64]float64{1: 1e-4, 1.1: 3e-3, 1.5: 1e-3, 2: 1e-4, 3: 1e-4, 5: 1e-4, 30: 1e-4} {
		for _, q := range []float64{3, 10, 30, 100, 1000} {
			want := 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Survival(q/math.Sqrt2)
			if want > 1e-12 {
				near(t, fmt.Sprintf("beyond %v with %v degrees", q, df), stat.Studentised{K: 2, DF: df}.Beyond(q)/want, 1, tolerance)
			}
		}
	}
}

// Source: R 4.2.2, TukeyHSD(PlantGrowth); Dobson (1983).
func TestTukeyKramerOfPlantGrowth(t *testing.T) {
	pairs, err := stat.TukeyKramer([][]float64{trt2, trt1, ctrl}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ d, low, high, p float64 }{
		{0.865, 0.17378394859, 1.55621605141, 0.012006423979},
		{0.494, -0.19721605141, 1.18521605141, 0.197995991300},
		{-0.371, -1.06221605141, 0.32021605141, 0.390871144202},
	} {
		e := pairs[i].Estimate
		near(t, "difference", e.Value, want.d, 1e-12)
		near(t, "low", e.Limits.Low, want.low, 1e-7)
		near(t, "high", e.Limits.High, want.high, 1e-7)
		near(t, "p", pairs[i].PAdjusted, want.p, 1e-7)
	}
}

// Source: R 4.2.2 on the data of Montgomery and Runger, chapter 13 (hardwood
// concentration and paper strength).
func TestTukeyOfPaper(t *testing.T) {
	pairs, err := stat.TukeyKramer([][]float64{{19, 25, 22, 23, 18, 20}, {14, 18, 19, 17, 16, 18},
		{12, 17, 13, 18, 19, 15}, {7, 8, 15, 11, 9, 10}}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "20-15 low", pairs[0].Estimate.Limits.Low, 0.0441040793518, 3e-7)
	near(t, "20-15 p", pairs[0].PAdjusted, 0.047025115582, 1e-7)
	near(t, "15-10 p", pairs[3].PAdjusted, 0.802227480173, 1e-7)
}

func TestTukeyKramerNeedsGroupsAndSpread(t *testing.T) {
	for _, groups := range [][][]float64{nil, {{1, 2}}, {{1}, {2}}, {{1, 1}, {1, 1}}} {
		if _, err := stat.TukeyKramer(groups, 0.95); !errors.Is(err, stat.ErrGroups) {
			t.Errorf("%v: %v", groups, err)
		}
	}
	if _, err := stat.TukeyKramer([][]float64{{1, 2}, {}}, 0.95); !errors.Is(err, stat.ErrNoData) {
		t.Errorf("empty group: %v", err)
	}
	if _, err := (stat.Studentised{K: 1, DF: 3}).Quantile(0.95); err == nil {
		t.Error("one group has a range")
	}
}

// No panic and no NaN from groups of three numbers.
func FuzzTukeyKramer(f *testing.F) {
	f.Add(1.0, 2.0, 3.0)
	f.Add(1e300, -1e300, 1e-300)
	f.Fuzz(func(t *testing.T, a, b, c float64) {
		pairs, err := stat.TukeyKramer([][]float64{{a, b}, {b, c}}, 0.95)
		for _, p := range pairs {
			e := p.Estimate
			if _, bad := stat.Mean([]float64{e.Value, e.Limits.Low, e.Limits.High, p.PAdjusted}); err == nil && errors.Is(bad, stat.ErrNotFinite) {
				t.Errorf("%v %v %v: %+v", a, b, c, p)
			}
		}
	})
}
