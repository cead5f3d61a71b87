package photo

import (
	"math"
	"slices"
)

// A three is three finders that may belong to one symbol.
type three struct {
	places   [3]int  // in the list of finders: top left, top right, bottom left
	steps    float64 // how many modules apart they seem
	unlikely float64
}

// An arm is a finder that lies on a side of another one's square.
type arm struct {
	place    int
	steps    float64
	unlikely float64
}

const (
	mostAside = 0.35 // how far beside a finder's axis another may lie, of their distance
	leastStep = 0.8 * steps
	mostSteps = 1.15 * (4*mostVersion + 17 - finder)
)

// threesOf returns the threes that the finders' own squares allow, likeliest
// first.
func threesOf(finders []shape) []three {
	var out []three
	for a := range finders {
		arms := armsOf(finders, a)
		for side := range arms {
			for _, b := range arms[side] {
				for _, d := range arms[(side+1)%4] {
					apart := math.Abs(math.Log(b.steps / d.steps))
					if apart < 0.5 {
						out = append(out, three{[3]int{a, b.place, d.place}, math.Sqrt(b.steps * d.steps), b.unlikely + d.unlikely + apart})
					}
				}
			}
		}
	}
	slices.SortStableFunc(out, func(p, q three) int { return compare(p.unlikely, q.unlikely) })
	return out
}

// armsOf returns the finders to the right of, below, left of and above one, as
// its square is turned.
func armsOf(finders []shape, a int) (arms [4][]arm) {
	for b := range finders {
		if b == a {
			continue
		}
		side, there, aside := finders[a].sideOf(finders[b].Point)
		_, back, asideBack := finders[b].sideOf(finders[a].Point)
		scales := math.Abs(math.Log(there / back))
		far := math.Sqrt(there * back)
		if aside > mostAside || asideBack > mostAside || scales > 0.7 || far < leastStep || far > mostSteps {
			continue
		}
		poor := 1 - min(1, finders[b].score)
		arms[side] = append(arms[side], arm{b, far, aside + asideBack + scales + poor})
	}
	for side := range arms {
		slices.SortStableFunc(arms[side], func(p, q arm) int { return compare(p.unlikely, q.unlikely) })
		arms[side] = arms[side][:min(mostArms, len(arms[side]))]
	}
	return arms
}

// mostArms bounds with how many others on one side a finder is combined.
const mostArms = 12

// sideOf returns on which side of a finder a place lies (0 right, 1 below, 2
// left, 3 above), how many modules away, and how far beside the axis.
func (f shape) sideOf(p Point) (side int, far, aside float64) {
	v, det := p.minus(f.Point), cross(f.right, f.below)
	if math.Abs(det) < 1e-9 {
		return 0, 0, math.Inf(1)
	}
	x, y := cross(v, f.below)/det, cross(f.right, v)/det
	if math.Abs(x) < math.Abs(y) {
		side, x, y = 1, y, x
	}
	if x < 0 {
		side += 2
	}
	return side, math.Abs(x), math.Abs(y / max(1e-9, math.Abs(x)))
}

// axis returns the finder's own axis that points most in a direction.
func (f shape) axis(towards Point) Point {
	best := f.right
	for _, u := range [3]Point{f.below, f.right.by(-1), f.below.by(-1)} {
		if u.X*towards.X+u.Y*towards.Y > best.X*towards.X+best.Y*towards.Y {
			best = u
		}
	}
	return best
}

// fourthOf returns where the sides that leave two finders meet, or where a
// parallelogram would have its fourth corner if that is far off.
func fourthOf(a, b, d shape) Point {
	flat := b.plus(d.Point).minus(a.Point)
	u, v := b.axis(d.minus(a.Point)), d.axis(b.minus(a.Point))
	det := cross(u, v)
	if math.Abs(det) < 1e-9 {
		return flat
	}
	met := b.along(u, cross(d.minus(b.Point), v)/det)
	if met.minus(flat).length() > 0.4*b.minus(d.Point).length() {
		return flat
	}
	return met
}
