package photo

import (
	"math"
	"slices"
)

// A guess is a pose to be tried: how many finders it was made from decides how
// much of it is free.
type guess struct {
	pose
	finders  [3]candidate // where there are three: top left, top right, bottom left
	free     int          // corners that were only extrapolated, bit i for corner i
	unlikely float64      // the least first
}

// steps is the distance of two finders along a side of the symbol, in modules.
const steps = far - near

// triples returns a guess for every three candidates that could be the finders
// of one symbol: the scales that the plane through them would give each finder
// must be those that were measured. The likeliest come first.
func triples(all []candidate) []guess {
	var out []guess
	for _, a := range all {
		close := neighbours(all, a)
		for _, b := range close {
			for _, d := range close {
				if u, ok := tripleUnlikeliness(a, b, d); ok {
					fourth := b.plus(d.Point).minus(a.Point)
					out = append(out, guess{pose{quad: quad{a.Point, b.Point, fourth, d.Point}}, [3]candidate{a, b, d}, 4, u})
				}
			}
		}
	}
	slices.SortStableFunc(out, func(p, q guess) int { return compare(p.unlikely, q.unlikely) })
	return out[:min(mostTriples, len(out))]
}

// mostTriples bounds how many threes of one scan are tried.
const mostTriples = 300

// mostNeighbours bounds with how many others a candidate is combined.
const mostNeighbours = 24

// neighbours returns the candidates that could be in one symbol with a, the
// nearest first where there are many.
func neighbours(all []candidate, a candidate) []candidate {
	var out []candidate
	far := func(b candidate) float64 { return b.minus(a.Point).length() }
	for _, b := range all {
		d := far(b)
		if m := max(a.across, a.down); d > steps/4*a.module() && d < 3*steps*m && similar(a.module(), b.module(), 2.2) {
			out = append(out, b)
		}
	}
	if len(out) > mostNeighbours {
		slices.SortStableFunc(out, func(b, c candidate) int { return compare(far(b), far(c)) })
		out = out[:mostNeighbours]
	}
	return out
}

// tripleUnlikeliness compares the scales that finders at a (top left), b (top
// right) and d (bottom left) should have with those measured.
func tripleUnlikeliness(a, b, d candidate) (float64, bool) {
	u, v := b.minus(a.Point).by(1/steps), d.minus(a.Point).by(1/steps)
	area := cross(u, v)
	if area <= 0.15*u.length()*v.length() {
		return 0, false
	}
	across := area / max(math.Abs(u.Y), math.Abs(v.Y))
	down := area / max(math.Abs(u.X), math.Abs(v.X))
	sum := 0.0
	for _, c := range [3]candidate{a, b, d} {
		x, y := math.Abs(math.Log(across/c.across)), math.Abs(math.Log(down/c.down))
		if x > 0.6 || y > 0.6 {
			return 0, false
		}
		sum += x + y
	}
	return sum, true
}
