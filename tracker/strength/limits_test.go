package strength

import "testing"

func TestSayNothing(t *testing.T) {
	num := func(x float64) *float64 { return &x }
	for _, c := range []struct {
		low, high *float64
		value     float64
		want      bool
	}{
		{num(0), num(2373), 1, true}, {num(0.102), num(2.56), 1, false}, {num(0.09), num(9), 1, false},
		{num(1.2), num(187), 1, false}, {num(163), num(310202), 2000, true}, {num(300), num(310202), 2000, false},
		{nil, num(20), 1, false}, {num(0.01), nil, 1, false},
	} {
		if got := SayNothing(c.low, c.high, c.value); got != c.want {
			t.Errorf("%v %v of %v: %v", c.low, c.high, c.value, got)
		}
	}
}
