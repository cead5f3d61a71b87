package strength

import "math"

// side is 1 where a is the stronger, -1 where b is.
func (o Another) side() float64 {
	switch {
	case o.Value == nil:
		return 0
	case o.Way.Plain():
		return math.Copysign(1, *o.Value)
	}
	return math.Copysign(1, *o.Value-1)
}

// wins reports whether the first (1) or the second (-1) is surely told apart
// above the other.
func (p Comparison) wins(side float64) bool {
	return p.Sure && side*math.Log(*p.Ratio) > 0
}
