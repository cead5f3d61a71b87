package stat_test

import (
	"errors"
	"testing"

	"soaktag/tracker/stat"
)

// grouped reads rows of group and value; groups are numbered from 1 in order.
func grouped(t *testing.T, name string) (groups [][]float64) {
	for _, row := range table(t, name)[1:] {
		if g := int(number(t, row[0])); g > len(groups) {
			groups = append(groups, nil)
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], number(t, row[1]))
	}
	return groups
}

// smls generates nine groups of n about the leading constant: the mean, then
// pairs a tenth below and above it.
func smls(leading float64, n int) (groups [][]float64) {
	for _, tenths := range []float64{4, 3, 5, 3, 5, 3, 5, 3, 5} {
		g := []float64{leading + tenths/10}
		for range (n - 1) / 2 {
			g = append(g, leading+(tenths-1)/10, leading+(tenths+1)/10)
		}
		groups = append(groups, g)
	}
	return groups
}

// Certified values: NIST Statistical Reference Datasets, analysis of variance.
// The last column is the digits of F that must be reached; SmLs04 and later
// lose digits when their inputs are rounded to binary.
func TestOneWayReachesTheCertifiedDigits(t *testing.T) {
	for _, c := range []struct {
		name               string
		groups             [][]float64
		between, within, f float64
		dfb, dfw           int
		least              float64
	}{
		{"SiRstv", grouped(t, "strd/sirstv.csv"), 5.11462616e-2, 2.1663656e-1, 1.18046237440255, 4, 20, 12},
		{"AtmWtAg", grouped(t, "strd/atmwtag.csv"), 3.638341875e-9, 1.04951729166667e-8, 15.9467335677930, 1, 46, 8},
		{"SmLs01", smls(1, 21), 1.68, 1.8, 21, 8, 180, 14},
		{"SmLs04", smls(1e6, 21), 1.68, 1.8, 21, 8, 180, 8},
		{"SmLs07", smls(1e12, 21), 1.68, 1.8, 21, 8, 180, 2},
		{"SmLs09", smls(1e12, 2001), 160.08, 180, 2001, 8, 18000, 2},
	} {
		a, err := stat.OneWay(c.groups)
		if err != nil {
			t.Fatal(c.name, err)
		}
		if a.DFBetween != c.dfb || a.DFWithin != c.dfw {
			t.Errorf("%s: %d and %d degrees of freedom", c.name, a.DFBetween, a.DFWithin)
		}
		if d := min(digits(a.F, c.f), digits(a.Between, c.between), digits(a.Within, c.within)); d < c.least {
			t.Errorf("%s: %+v reaches %.1f digits, want %g", c.name, a, d, c.least)
		}
		t.Logf("%s: between %.1f, within %.1f, F %.1f digits", c.name, digits(a.Between, c.between), digits(a.Within, c.within), digits(a.F, c.f))
	}
}

// Source: R 4.2.2, anova of PlantGrowth (Dobson 1983).
func TestOneWayOfPlantGrowth(t *testing.T) {
	a, err := stat.OneWay([][]float64{ctrl, trt1, trt2})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "between", a.Between, 3.76634, 1e-12)
	near(t, "within", a.Within, 10.49209, 1e-12)
	near(t, "F", a.F, 4.846087862380134, 1e-12)
}

func TestOneWayRefuses(t *testing.T) {
	if _, err := stat.OneWay([][]float64{ctrl}); !errors.Is(err, stat.ErrGroups) {
		t.Errorf("one group: %v", err)
	}
	if _, err := stat.OneWay([][]float64{{1e308, 1.1e308}, {1e308, 1.1e308}}); err == nil {
		t.Error("out of range")
	}
}
