package stat_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"soaktag/tracker/stat"
)

// Check values of what several studies say together, each with its source and standing in
// testdata/README.md: computed with R 4.2.2 by a script of its own, written before the code here.

// expected reads a long table case, quantity, value; what is not defined is left out.
func expected(t *testing.T, name string) map[string]map[string]float64 {
	t.Helper()
	all := map[string]map[string]float64{}
	for _, row := range rowsOf(t, name) {
		x, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			continue
		}
		if all[row[0]] == nil {
			all[row[0]] = map[string]float64{}
		}
		all[row[0]][row[1]] = x
	}
	return all
}

func rowsOf(t *testing.T, name string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/studies/" + name)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// agrees compares to a relative tolerance.
func agrees(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s is %.13g, not %.13g", what, got, want)
	}
}

func TestScatterLimitsOfR(t *testing.T) {
	for name, want := range expected(t, "sd_limits_expected.csv") {
		both, err := stat.ScatterLimits(want["s"], want["nu"], 0.95)
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, name+" lo95", both.Low, want["lo95"], 1e-9)
		agrees(t, name+" hi95", both.High, want["hi95"], 1e-9)
		for key, confidence := range map[string]float64{"lo80one": 0.2, "up80one": 0.8, "up90one": 0.9, "up95one": 0.95} {
			got, err := stat.ScatterAtMost(want["s"], want["nu"], confidence)
			if err != nil {
				t.Fatal(err)
			}
			agrees(t, name+" "+key, got, want[key], 1e-9)
		}
	}
}

// Raw values of R's warpbreaks and nlme's Machines; logarithms as strengths have them.
func TestPooledScatterOfR(t *testing.T) {
	groups := map[string][][]float64{}
	at := map[string]int{}
	for _, row := range rowsOf(t, "pool_data.csv") {
		key := strings.Join(row[:3], " ")
		x, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		if _, met := at[key]; !met {
			at[key] = len(groups[row[0]])
			groups[row[0]] = append(groups[row[0]], nil)
		}
		g := &groups[row[0]][at[key]]
		*g = append(*g, math.Log(x))
	}
	tried := 0
	for name, want := range expected(t, "pool_expected.csv") {
		set, ok := strings.CutSuffix(name, ".sd")
		if !ok || groups[set] == nil {
			continue
		}
		tried++
		got, err := stat.PoolScatter(groups[set])
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, name+" s", got.S, want["s"], 1e-8)
		agrees(t, name+" nu_eff", got.DFHeld, want["nu_eff"], 1e-8)
		agrees(t, name+" bartlett.p", got.Alike, want["bartlett.p"], 1e-8)
		if got.DF != int(want["nu"]) || got.Groups != int(want["groups"]) {
			t.Errorf("%s: %d degrees of freedom of %d groups, not %v of %v", name, got.DF, got.Groups, want["nu"], want["groups"])
		}
	}
	if tried < 2 {
		t.Errorf("%d sets of raw values tried", tried)
	}
}

func TestExpectedPowerOfR(t *testing.T) {
	for name, want := range expected(t, "power_expected.csv") {
		f := stat.Finder{N: int(want["n"]), K: int(want["k"]), S: want["s"], DF: want["nu"]}
		for key, of := range map[string]func(ratio, alpha float64) (float64, error){"power_at_s": f.Power, "expected_power": f.Expected} {
			got, err := of(want["ratio"], 0.05)
			if err != nil || math.Abs(got-want[key]) > 1e-6 {
				t.Errorf("%s %s is %.9f (%v), not %.9f", name, key, got, err, want[key])
			}
		}
		if f.N != 3 {
			continue // the search for a ratio takes a while
		}
		got, err := f.Ratio(0.05, 0.8)
		if err != nil {
			t.Fatal(name, err)
		}
		agrees(t, name+" detectable_expected", got, want["detectable_expected"], 1e-6)
		for key, confidence := range map[string]float64{"detectable_at_lo80": 0.2, "detectable_at_up80": 0.8} {
			s, err := stat.ScatterAtMost(f.S, f.DF, confidence)
			if err != nil {
				t.Fatal(err)
			}
			got, err := stat.DetectableRatio(f.N, f.K, s, 0.05, 0.8, false)
			if err != nil {
				t.Fatal(err)
			}
			agrees(t, name+" "+key, got, want[key], 1e-6)
		}
	}
}

// Motors of R's MASS without those at 150 C; survival's survreg.
func TestCensoredScatterOfR(t *testing.T) {
	groups := map[string][]stat.Observation{}
	for _, row := range rowsOf(t, "censored_data.csv") {
		x, err := strconv.ParseFloat(row[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		o := stat.Observation{Value: math.Log(x)}
		if row[2] == "0" {
			o.Bound = stat.AtLeast
		}
		groups[row[0]] = append(groups[row[0]], o)
	}
	want := expected(t, "censored_expected.csv")["motors170_190_220"]
	onlyBounds := []stat.Observation{{Value: 1, Bound: stat.AtLeast}, {Value: 2, Bound: stat.AtLeast}}
	sd, df, err := stat.CensoredScatter([][]stat.Observation{groups["T170"], groups["T190"], onlyBounds, groups["T220"]})
	if err != nil {
		t.Fatal(err)
	}
	agrees(t, "sigma", sd, want["sigma_corrected"], 1e-6)
	agrees(t, "nu", df, want["nu"], 0)
}

// Invented counts; R's binom.test and sums of lbeta.
func TestShareNextOfR(t *testing.T) {
	tried := 0
	for name, want := range expected(t, "foresight_expected.csv") {
		if _, isShare := want["y90"]; !isShare {
			continue
		}
		tried++
		mean, most, err := stat.ShareNext(int(want["x"]), int(want["n"]), int(want["m"]), 0.9)
		if err != nil {
			t.Fatal(err)
		}
		agrees(t, name+" expected", mean, want["expected"], 1e-8)
		if most != int(want["y90"]) {
			t.Errorf("%s: at most %d, not %v", name, most, want["y90"])
		}
	}
	if tried < 2 {
		t.Errorf("%d shares tried", tried)
	}
}
