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

// PlantGrowth (Dobson 1983), three groups; no published source. By hand: the
// definition with its double integral by the trapezoidal rule, 301 by 401
// points, which gives R's qtukey(0.95, 3, 27) = 3.50642612339 to ten digits.
func TestGamesHowellOfPlantGrowth(t *testing.T) {
	pairs, err := stat.GamesHowell([][]float64{ctrl, trt1, trt2}, 0.95)
	if err != nil || len(pairs) != 3 {
		t.Fatal(pairs, err)
	}
	for i, c := range []struct {
		a, b                   int
		diff, df, low, high, p float64
	}{
		{0, 1, 0.371, 16.5235850568593, -0.430087514523, 1.172087514523, 0.474554922194},
		{0, 2, -0.494, 16.7857644826057, -1.088554443848, 0.100554443848, 0.112889176854},
		{1, 2, -0.865, 14.1035691227603, -1.616487011299, -0.113512988701, 0.023703454739},
	} {
		e := pairs[i].Estimate
		if pairs[i].A != c.a || pairs[i].B != c.b {
			t.Errorf("pair %d is of %d and %d", i, pairs[i].A, pairs[i].B)
		}
		near(t, "difference", e.Value, c.diff, 1e-14)
		near(t, "df", e.DF, c.df, 1e-10)
		near(t, "low", e.Limits.Low, c.low, 1e-8)
		near(t, "high", e.Limits.High, c.high, 1e-8)
		near(t, "p", pairs[i].PAdjusted, c.p, 1e-8)
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
	if flat := pairs[5]; flat.Estimate.Limits.Low != -1 || flat.PAdjusted != 1 || len(flat.Estimate.Warnings) != 1 {
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
