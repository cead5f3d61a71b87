package photo

import (
	"math"
	"slices"
)

// A shape is a single finder as the picture shows it: its centre and the sides
// of a module there. Its four turns look the same.
type shape struct {
	Point
	right, below Point
	score        float64 // agreement with the finder and the light ring about it; 1 is plenty
}

// finderMarks are the modules of a finder and of the light ring about it, from
// its centre.
var finderMarks = newFinderMarks()

func newFinderMarks() (marks []mark) {
	for y := -4; y <= 4; y++ {
		for x := -4; x <= 4; x++ {
			sign := 1
			if ring := max(abs(x), abs(y)); ring == 2 || ring == 4 {
				sign = -1
			}
			marks = append(marks, mark{x: float64(x), y: float64(y), sign: sign})
		}
	}
	return marks
}

// agreementOf returns how well the picture agrees with the shape.
func (c *contrast) agreementOf(s shape) float64 {
	w := warp{xx: s.right.X, xy: s.below.X, x1: s.X, yx: s.right.Y, yy: s.below.Y, y1: s.Y}
	return c.sum(&w, finderMarks) / float64(len(finderMarks))
}

// shapeOf fits a square to a candidate, both in the pixels of the contrast
// picture: it tries turns and refines the best two.
func (c *contrast) shapeOf(f candidate) shape {
	var tries []shape
	for degrees := 0; degrees < 90; degrees += 10 {
		sin, cos := math.Sincos(float64(degrees) * math.Pi / 180)
		widest := max(math.Abs(sin), math.Abs(cos))
		sx, sy := f.across*widest, f.down*widest
		s := shape{Point: f.Point, right: Point{sx * cos, sy * sin}, below: Point{-sx * sin, sy * cos}}
		s.score = c.agreementOf(s)
		tries = append(tries, s)
	}
	slices.SortStableFunc(tries, func(a, b shape) int { return compare(b.score, a.score) })
	best, second := c.refineShape(tries[0]), c.refineShape(tries[1])
	if second.score > best.score {
		return second
	}
	return best
}

// refineShape moves the centre and both sides by ever smaller steps.
func (c *contrast) refineShape(s shape) shape {
	m := math.Sqrt(math.Abs(cross(s.right, s.below)))
	for step := 0.3; step > 0.03; step *= 0.6 {
		for range 2 {
			before := s.score
			for _, d := range directions {
				for part, k := range [3]float64{step * m, step * m / 3.5, step * m / 3.5} {
					t := s
					switch part {
					case 0:
						t.Point = t.along(d, k)
					case 1:
						t.right = t.right.along(d, k)
					case 2:
						t.below = t.below.along(d, k)
					}
					if t.score = c.agreementOf(t); t.score > s.score+1e-6 {
						s = t
					}
				}
			}
			if s.score == before {
				break
			}
		}
	}
	return s
}

// guesses returns the twelve symbols that the finder may belong to: it is one
// of three corners, in one of four turns.
func (s shape) guesses() []guess {
	var out []guess
	u, v := s.right.by(steps), s.below.by(steps)
	for range 4 {
		for corner, at := range [3]Point{s.Point, s.minus(u), s.minus(v)} {
			q := quad{at, at.plus(u), at.plus(u).plus(v), at.plus(v)}
			out = append(out, guess{pose: pose{quad: q}, free: 15 &^ [3]int{1, 2, 8}[corner]})
		}
		u, v = v, u.by(-1)
	}
	return out
}
