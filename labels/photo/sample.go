package photo

// around is the width of the light ring that is sampled with the symbol.
const around = 2

// grid is the side of a sampled symbol with its ring.
const grid = size + 2*around

// A sampling holds the mean grey of each module of a symbol and its ring, row
// by row; what lies outside the picture is marked.
type sampling struct {
	grey    greys
	outside [grid * grid]bool
}

// index returns where a module stands in a sampling.
func index(x, y int) int { return (y+around)*grid + x + around }

// taps are the places within a module that are averaged, in modules from its
// centre.
var taps = [9]Point{{0, 0}, {-.25, -.25}, {0, -.25}, {.25, -.25}, {-.25, 0}, {.25, 0}, {-.25, .25}, {0, .25}, {.25, .25}}

// sample averages the grey of each module under the warp.
func (p *plane) sample(w *warp) *sampling { return p.sampleAt(w.at) }

// sampleAt averages the grey of each module whose places in the plane at tells.
func (p *plane) sampleAt(at func(x, y float64) Point) *sampling {
	s := &sampling{}
	for y := -around; y < size+around; y++ {
		for x := -around; x < size+around; x++ {
			i := index(x, y)
			cx, cy := float64(x)+0.5, float64(y)+0.5
			s.outside[i] = !p.holds(at(cx, cy))
			for _, t := range taps {
				q := at(cx+t.X, cy+t.Y)
				s.grey[i] += p.at(q.X, q.Y) / float64(len(taps))
			}
		}
	}
	return s
}
