package photo

import (
	"iter"
	"math"
	"slices"
)

// A sheetAt is a sheet in a picture: where it lies by its pose, and by how much
// a net moves each part of it, if there is one.
type sheetAt struct {
	*sheet
	warp
	net *net
}

// knotStep is how many modules apart the knots of a net are, about.
const knotStep = 6

func (s *sheet) at(p pose) (sheetAt, bool) {
	w, ok := p.warp()
	return sheetAt{sheet: s, warp: w}, ok
}

// pixel returns where a place, in modules, is.
func (s *sheetAt) pixel(x, y float64) Point {
	q := s.warp.at(s.units(x), s.units(y))
	if s.net == nil {
		return q
	}
	return q.plus(s.net.at(x, y))
}

// grey samples the mean grey of each module from a picture k times as large; -1
// stands for what lies outside.
func (s *sheetAt) grey(p *plane, k float64) []float64 {
	out := make([]float64, s.n*s.n)
	for y := range s.n {
		for x := range s.n {
			cx, cy := float64(x)+0.5, float64(y)+0.5
			if !p.holds(s.pixel(cx, cy).by(k)) {
				out[y*s.n+x] = -1
				continue
			}
			sum := 0.0
			for _, t := range taps {
				q := s.pixel(cx+t.X, cy+t.Y).by(k)
				sum += p.at(q.X, q.Y)
			}
			out[y*s.n+x] = sum / float64(len(taps))
		}
	}
	return out
}

// clearness is the contrast of each module in the picture it was registered in.
func (s *sheetAt) clearness(c *contrast) soft {
	out := make(soft, s.n*s.n)
	for y := range s.n {
		for x := range s.n {
			sum, n := 0, 0
			for _, t := range taps {
				q := s.pixel(float64(x)+0.5+t.X, float64(y)+0.5+t.Y)
				if q.X >= 0 && q.Y >= 0 && q.X < float64(c.w) && q.Y < float64(c.h) {
					sum, n = sum+int(c.pix[int(q.Y)*c.w+int(q.X)]), n+1
				}
			}
			out[y*s.n+x] = float64(sum) / float64(unit*max(1, n))
		}
	}
	return out
}

// levelled compares each module with the middle between ink and paper about it,
// up to radius modules away.
func (s *sheet) levelled(grey []float64, radius int) soft {
	out := make(soft, len(grey))
	for y := range s.n {
		for x := range s.n {
			g := grey[y*s.n+x]
			if g == -1 {
				continue
			}
			ink, paper := s.levels(grey, x, y, radius)
			out[y*s.n+x] = clip(((ink+paper)/2 - g) / max(1, (paper-ink)/2))
		}
	}
	return out
}

// levels returns the mean of what is darker than the mean about a module, and
// of what is lighter.
func (s *sheet) levels(grey []float64, x, y, radius int) (ink, paper float64) {
	sum, n := 0.0, 0.0
	for g := range s.about(grey, x, y, radius) {
		sum, n = sum+g, n+1
	}
	mean := sum / max(1, n)
	dark, darks := 0.0, 0.0
	for g := range s.about(grey, x, y, radius) {
		if g < mean {
			dark, darks = dark+g, darks+1
		}
	}
	return dark / max(1, darks), (sum - dark) / max(1, n-darks)
}

// about yields the greys up to radius away from a module that lie in the
// picture.
func (s *sheet) about(grey []float64, x, y, radius int) iter.Seq[float64] {
	from, to := max(0, x-radius), min(s.n-1, x+radius)
	return func(yield func(float64) bool) {
		for v := max(0, y-radius); v <= min(s.n-1, y+radius); v++ {
			for _, g := range grey[v*s.n+from : v*s.n+to+1] {
				if g >= 0 && !yield(g) {
					return
				}
			}
		}
	}
}

// sharper undoes a part of the blur of modules into their neighbours.
func (s *sheet) sharper(grey []float64, much float64) []float64 {
	out := slices.Clone(grey)
	for y := range s.n {
		for x := range s.n {
			if g := grey[y*s.n+x]; g != -1 {
				out[y*s.n+x] = max(0, g+much*s.lead(grey, x, y)/4)
			}
		}
	}
	return out
}

// lead returns by how much a module is lighter than its four neighbours, in all.
func (s *sheet) lead(grey []float64, x, y int) (sum float64) {
	for _, d := range fourSides {
		u, v := x+d.x, y+d.y
		if u >= 0 && v >= 0 && u < s.n && v < s.n && grey[v*s.n+u] >= 0 {
			sum += grey[y*s.n+x] - grey[v*s.n+u]
		}
	}
	return sum
}

// layNet lays a net and moves its knots, from the top left finder on, to where
// modules are clearest and known ones are right.
func (s *sheetAt) layNet(c *contrast, module float64) {
	s.net = newNet((s.n+knotStep/2)/knotStep+1, float64(s.n))
	worth := func(i int) float64 { return s.clearAbout(c, i, module) }
	for round, step := range [4]float64{0.7, 0.5, 0.35, 0.2} {
		for i := range s.net.moved {
			if round == 0 {
				s.net.carry(i)
			}
			s.net.nudge(i, step*module, worth)
		}
	}
}

// carry moves a knot as those before it, to the left and above, were moved.
func (n *net) carry(i int) {
	left, above := i%n.side > 0, i >= n.side
	switch {
	case left && above:
		n.moved[i] = n.moved[i-1].plus(n.moved[i-n.side]).by(0.5)
	case left:
		n.moved[i] = n.moved[i-1]
	case above:
		n.moved[i] = n.moved[i-n.side]
	}
}

// stiff is what it costs a knot to lie a module beside the mean of its
// neighbours.
const stiff = 0.25

// clearAbout is how clear the modules about a knot are, less what the knot
// strains the net.
func (s *sheetAt) clearAbout(c *contrast, knot int, module float64) float64 {
	x0, x1 := s.reach(knot % s.net.side)
	y0, y1 := s.reach(knot / s.net.side)
	total := 0
	for y := y0; y < y1; y++ {
		for x := x0; x < x1; x++ {
			v := s.under(c, x, y)
			if sign := int(s.known[y*s.n+x]); sign != 0 {
				total += 2 * v * sign
			} else {
				total += max(v, -v)
			}
		}
	}
	n, strain := max(1, (x1-x0)*(y1-y0)), s.net.strain(knot, module)
	return float64(total)/float64(len(inner)*unit*n) - stiff*strain*strain
}

// reach returns the modules about the k-th knot of a row or a column.
func (s *sheetAt) reach(k int) (from, to int) {
	step := float64(s.n) / float64(s.net.side-1)
	return max(0, int((float64(k)-0.7)*step)), min(s.n, int(math.Ceil((float64(k)+0.7)*step)))
}

// under adds up the contrast at four places of a module.
func (s *sheetAt) under(c *contrast, x, y int) (v int) {
	for _, d := range inner {
		q := s.pixel(float64(x)+0.5+0.7*d.X, float64(y)+0.5+0.7*d.Y)
		if q.X >= 0 && q.Y >= 0 && q.X < float64(c.w) && q.Y < float64(c.h) {
			v += int(c.pix[int(q.Y)*c.w+int(q.X)])
		}
	}
	return v
}
