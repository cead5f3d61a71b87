package wording

import (
	"testing"

	"soaktag/tracker/stat"
)

// Of a bound only the limit that still holds is written.
func TestLimitsOfBounds(t *testing.T) {
	low, high, below := 8.0, 12.0, -1.0
	write := func(x *float64) string { return Decimals(x, 0) }
	for _, c := range []struct {
		bound     stat.Bound
		low, high *float64
		want      string
	}{
		{stat.Exact, &low, &high, "8 to 12"}, {stat.AtLeast, &low, &high, "from 8"}, {stat.AtMost, &low, &high, "up to 12"},
		{stat.Either, &low, &high, "-"}, {stat.AtLeast, nil, nil, "-"}, {stat.Exact, &below, &high, "0* to 12"}, {stat.AtLeast, &below, &high, "from 0*"},
	} {
		if got := aboveZero(c.bound, c.low, c.high, write); got != c.want {
			t.Errorf("limits of %v: %q, want %q", c.bound, got, c.want)
		}
	}
}
