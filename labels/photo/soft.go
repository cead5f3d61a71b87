package photo

import (
	"math"
	"slices"
)

// A softness says of each module of the symbol how dark (to 1) or light (to
// -1) it is; near 0 it cannot be told.
type softness [size][size]float64

// A rule turns greys into soft values. No rule is best under every damage: a
// narrow window follows the slope of a lamp's reflection, a wide one sees
// through a patch that covers many modules, levels tell slime from ink.
type rule func(*sampling) *softness

var rules = []rule{
	func(s *sampling) *softness { return s.byMean(3) },
	func(s *sampling) *softness { return s.byLevels(5) },
	func(s *sampling) *softness { return s.byMean(2) },
	func(s *sampling) *softness { return s.byMean(7) },
}

// byMean compares each module with the mean of those up to radius away, in
// units of their standard deviation.
func (s *sampling) byMean(radius int) *softness {
	out := &softness{}
	floor := 0.25*s.spread() + 0.7
	for y := range size {
		for x := range size {
			sum, square, n := 0.0, 0.0, 0.0
			s.each(x, y, radius, func(g float64) { sum, square, n = sum+g, square+g*g, n+1 })
			mean := sum / max(1, n)
			deviation := math.Sqrt(max(0, square/max(1, n)-mean*mean))
			out[y][x] = clip((mean - s.grey[index(x, y)]) / max(deviation, floor))
			if s.outside[index(x, y)] {
				out[y][x] = 0
			}
		}
	}
	return out
}

// byLevels asks how far each module lies between the ink and the paper about
// it, and trusts what lies midway least: slime is neither.
func (s *sampling) byLevels(radius int) *softness {
	out := &softness{}
	floor := 0.5*s.spread() + 1
	var near []float64
	for y := range size {
		for x := range size {
			near = near[:0]
			s.each(x, y, radius, func(g float64) { near = append(near, g) })
			if len(near) < 9 || s.outside[index(x, y)] {
				continue
			}
			slices.Sort(near)
			ink, paper := near[len(near)/12], near[len(near)-1-len(near)/6]
			t := (ink+paper)/2 - s.grey[index(x, y)]
			t /= max(paper-ink, floor) / 2
			out[y][x] = clip(t * math.Sqrt(math.Abs(t)))
		}
	}
	return out
}

// each calls f with the greys up to radius away that lie in the picture.
func (s *sampling) each(x, y, radius int, f func(float64)) {
	for v := max(-around, y-radius); v <= min(size+around-1, y+radius); v++ {
		for u := max(-around, x-radius); u <= min(size+around-1, x+radius); u++ {
			if i := index(u, v); !s.outside[i] {
				f(s.grey[i])
			}
		}
	}
}

// spread returns the standard deviation of all greys.
func (s *sampling) spread() float64 {
	sum, square, n := 0.0, 0.0, 0.0
	s.each(size/2, size/2, size, func(g float64) { sum, square, n = sum+g, square+g*g, n+1 })
	mean := sum / max(1, n)
	return math.Sqrt(max(0, square/max(1, n)-mean*mean))
}

func clip(v float64) float64 { return max(-1, min(1, v)) }
