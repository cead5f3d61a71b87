package wording

import (
	"fmt"
	"testing"

	"soaktag/tracker/strength"
)

// Many pairs that are not told apart are counted; a few are named.
func TestManyPairsAreCounted(t *testing.T) {
	for _, c := range []struct {
		pairs, apart int
		says         string
		named        int
	}{{6, 0, "dry", 6}, {45, 0, "dry: all 45 pairs", 0}, {45, 3, "dry: the other 42 of 45 pairs", 0}} {
		var all []strength.Comparison
		for i := range c.pairs {
			apart := i < c.apart
			all = append(all, strength.Comparison{Treatment: "dry", A: fmt.Sprint(i), B: "x", Comparable: true, ToldApart: apart, Sure: apart})
		}
		p := PairsOf(all)
		if got := p.Together[0]; got.Says != c.says || len(got.Pairs) != c.named {
			t.Errorf("%d pairs, %d told apart: %+v", c.pairs, c.apart, got)
		}
	}
}
