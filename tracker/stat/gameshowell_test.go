package stat_test

import (
	"errors"
	"math"
	"testing"

	"soaktag/tracker/stat"
)

// With two groups Games-Howell is Welch's test, q = t sqrt 2. Source of the
// numbers: R 4.2.2, t.test(sleep).
func TestGamesHowellOfTwoIsWelch(t *testing.T) {
	pairs, err := stat.GamesHowell([][]float64{sleep1, sleep2}, 0.95)
	if err != nil || len(pairs) != 1 {
		t.Fatal(pairs, err)
	}
	e := pairs[0].Estimate
	near(t, "q", e.Value/e.SE, -1.8608134674869*math.Sqrt2, 1e-12)
	near(t, "df", e.DF, 17.7764735161785, 1e-11)
	near(t, "low", e.Limits.Low, -3.3654832307117, 1e-7)
	near(t, "high", e.Limits.High, 0.2054832307117, 1e-7)
	near(t, "p", pairs[0].PAdjusted, 0.0793941401874, 1e-7)
}

// PlantGrowth, three groups. Degrees of freedom and t by hand from the
// definition; q(0.95; 3, df) must lie between the rows of R's qtukey for the
// whole numbers beside df (16: 3.649, 20: 3.578), and the adjusted p between
// Welch's unadjusted p of the pair (R) and three times it.
func TestGamesHowellOfPlantGrowth(t *testing.T) {
	groups := [][]float64{ctrl, trt1, trt2}
	pairs, err := stat.GamesHowell(groups, 0.95)
	if err != nil || len(pairs) != 3 {
		t.Fatal(pairs, err)
	}
	for i, welch := range []float64{0.2503825086, 0.0478992556, 0.009298404717} {
		p := pairs[i]
		e, _ := stat.WelchDifference(groups[p.A], groups[p.B], 0.95)
		near(t, "difference", p.Estimate.Value, e.Value, 1e-15)
		near(t, "df", p.Estimate.DF, e.DF, 1e-12)
		near(t, "se", p.Estimate.SE*math.Sqrt2, e.SE, 1e-14)
		q := (p.Estimate.Limits.High - p.Estimate.Value) / p.Estimate.SE
		if q < 3.57 || q > 3.71 {
			t.Errorf("q = %v with %v degrees of freedom", q, e.DF)
		}
		if p.PAdjusted <= welch || p.PAdjusted >= 3*welch {
			t.Errorf("adjusted p %v, unadjusted %v", p.PAdjusted, welch)
		}
	}
}

// Two values a group and very unequal spreads leave one degree of freedom,
// the worst case. By hand: q = t(0.975, 1) sqrt 2 = 17.97 for two groups.
func TestGamesHowellWithOneDegreeOfFreedom(t *testing.T) {
	pairs, err := stat.GamesHowell([][]float64{{0, 1}, {5, 5}}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	e := pairs[0].Estimate
	near(t, "df", e.DF, 1, 1e-12)
	near(t, "q", (e.Limits.High-e.Value)/e.SE, 12.706205*math.Sqrt2, 1e-3)
}

func TestGamesHowellAtTheEdges(t *testing.T) {
	pairs, err := stat.GamesHowell([][]float64{{1, 2}, {3}, {1, 1}, {2, 2}}, 0.95)
	if err != nil || len(pairs) != 6 {
		t.Fatal(pairs, err)
	}
	if one := pairs[0]; one.Estimate.Limits != nil || one.PAdjusted != 1 || len(one.Estimate.Warnings) != 1 {
		t.Errorf("group of one: %+v", one)
	}
	if flat := pairs[5]; flat.Estimate.Limits.Low != -1 || flat.PAdjusted != 0 || len(flat.Estimate.Warnings) != 1 {
		t.Errorf("no spread: %+v", flat)
	}
	for _, c := range []struct {
		groups [][]float64
		level  float64
		err    error
	}{
		{nil, 0.95, stat.ErrGroups},
		{[][]float64{ctrl}, 0.95, stat.ErrGroups},
		{[][]float64{ctrl, {}}, 0.95, stat.ErrNoData},
		{[][]float64{ctrl, trt1}, 1, stat.ErrLevel},
		{[][]float64{{1.7e308, 1.7e308}, {-1.7e308, -1.7e308}}, 0.95, stat.ErrRange},
	} {
		if _, err := stat.GamesHowell(c.groups, c.level); !errors.Is(err, c.err) {
			t.Errorf("%v: %v, want %v", c.groups, err, c.err)
		}
	}
}
