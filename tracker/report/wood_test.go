package report

import (
	"encoding/csv"
	"strings"
	"testing"
)

// Source: Wood Handbook (FPL-GTR-282), table 5-3b: white ash 1910 psi at 12 %
// and 1350 psi green; sugar maple 2330 and 1460 psi.
func TestWoodOf(t *testing.T) {
	for _, c := range []struct{ species, want string }{
		{"white ash", "13.17 9.31"}, {"Ash, white", "13.17 9.31"}, {"Fraxinus americana", "13.17 9.31"},
		{"sugar maple", "16.06 10.07"}, {"yellow birch", "12.96 0.00"},
		{"ash", ""}, {"maple", ""}, {"", ""}, {"white ash and oak", ""},
	} {
		got := ""
		if w := woodOf(c.species); w != nil {
			got = fixed(w.Dry, 2) + " " + fixed(w.Green, 2)
		}
		if got != c.want {
			t.Errorf("%q: %q, want %q", c.species, got, c.want)
		}
	}
}

func TestWoodTableIsWhole(t *testing.T) {
	r := csv.NewReader(strings.NewReader(woodTable))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != 17 {
		t.Fatalf("%v, %d rows", err, len(rows))
	}
	for _, row := range rows[1:] {
		if w := woodOf(row[0]); w == nil || w.Dry <= 0 || w.Green < 0 || w.Green >= w.Dry {
			t.Errorf("%s: %+v", row[0], w)
		}
	}
}

// No published source: steps of 1, 2 and 5 are common practice.
func TestTicks(t *testing.T) {
	for _, c := range []struct {
		top  float64
		most int
		want string
	}{{18, 10, "0 2 4 6 8 10 12 14 16 18"}, {18, 5, "0 5 10 15"}, {1, 10, "0.0 0.1 0.2 0.3 0.4 0.5 0.6 0.7 0.8 0.9 1.0"},
		{1, 5, "0.0 0.2 0.4 0.6 0.8 1.0"}, {0.003, 5, "0.000 0.001 0.002 0.003"}, {4000, 6, "0 1000 2000 3000 4000"}} {
		values, decimals := scale{top: c.top}.ticks(c.most)
		var words []string
		for _, v := range values {
			words = append(words, fixed(v, decimals))
		}
		if got := strings.Join(words, " "); got != c.want {
			t.Errorf("up to %g: %s, want %s", c.top, got, c.want)
		}
	}
}

func TestFolded(t *testing.T) {
	for _, c := range []struct {
		text string
		want string
	}{{"short", "short"}, {"resorcinol-formaldehyde", "resorcinol-|formaldehyde"}, {"one two three four five six seven", "one two three|four five six…"},
		{strings.Repeat("x", 40), "xxxxxxxxxxxxxx…"}, {"a xxxxxxxxxxxxxxxxxxxx b", "a|xxxxxxxxxxxxxx…"}, {"", ""}} {
		if got := strings.Join(folded(c.text, 10, 16*10*letterWidth+1, 2), "|"); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}
