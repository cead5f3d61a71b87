package photo

import "math"

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
			if s.outside[index(x, y)] {
				continue
			}
			mean, deviation := s.about(x, y, radius)
			out[y][x] = clip((mean - s.grey[index(x, y)]) / max(deviation, floor))
		}
	}
	return out
}

// about returns the mean and the standard deviation of the greys up to radius
// away that lie in the picture.
func (s *sampling) about(x, y, radius int) (mean, deviation float64) {
	sum, square, n := 0.0, 0.0, 0.0
	for v := max(-around, y-radius); v <= min(size+around-1, y+radius); v++ {
		for u := max(-around, x-radius); u <= min(size+around-1, x+radius); u++ {
			if i := index(u, v); !s.outside[i] {
				g := s.grey[i]
				sum, square, n = sum+g, square+g*g, n+1
			}
		}
	}
	mean = sum / max(1, n)
	return mean, math.Sqrt(max(0, square/max(1, n)-mean*mean))
}

// byLevels asks how far each module lies between the ink and the paper about
// it, and trusts what lies midway least: slime is neither. Ink is the darkest
// twelfth of what is near, paper begins at the lightest sixth.
func (s *sampling) byLevels(radius int) *softness {
	out := &softness{}
	floor := 0.5*s.spread() + 1
	steps := s.steps()
	for y := range size {
		for x := range size {
			if s.outside[index(x, y)] {
				continue
			}
			ink, paper := steps.levels(x, y, radius)
			t := (ink+paper)/2 - s.grey[index(x, y)]
			t /= max(paper-ink, floor) / 2
			out[y][x] = clip(t * math.Sqrt(math.Abs(t)))
		}
	}
	return out
}

const manySteps = 64

// stepped is a sampling in steps of equal size from its darkest to its
// lightest, so that levels are found by counting.
type stepped struct {
	*sampling
	lowest, height float64
	step           [grid * grid]uint8
}

func (s *sampling) steps() *stepped {
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, g := range s.grey {
		lowest, highest = min(lowest, g), max(highest, g)
	}
	t := &stepped{sampling: s, lowest: lowest, height: max(1e-9, (highest-lowest)/(manySteps-1))}
	for i, g := range s.grey {
		t.step[i] = uint8((g - lowest) / t.height)
	}
	return t
}

// levels returns the ink and the paper within radius of a module.
func (t *stepped) levels(x, y, radius int) (ink, paper float64) {
	var count [manySteps]int
	n := 0
	for v := max(-around, y-radius); v <= min(size+around-1, y+radius); v++ {
		for u := max(-around, x-radius); u <= min(size+around-1, x+radius); u++ {
			if i := index(u, v); !t.outside[i] {
				count[t.step[i]]++
				n++
			}
		}
	}
	at := func(rank int) float64 {
		step := 0
		for ; step < manySteps-1 && rank >= count[step]; step++ {
			rank -= count[step]
		}
		return t.lowest + (float64(step)+0.5)*t.height
	}
	return at(n / 12), at(n - 1 - n/6)
}

// spread returns the standard deviation of all greys.
func (s *sampling) spread() float64 {
	_, deviation := s.about(size/2, size/2, size)
	return deviation
}

func clip(v float64) float64 { return max(-1, min(1, v)) }
