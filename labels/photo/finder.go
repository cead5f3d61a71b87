package photo

import (
	"math"
	"slices"
)

// A candidate may be a finder: a place where dark and light change as 1:1:3:1:1
// along both axes. Under any tilt every line through the centre of a finder
// meets it in that ratio, though not on the same scale.
type candidate struct {
	Point
	across, down float64 // pixels a module along a row and along a column
	seen         int     // rows that met it
	diagonals    int     // how often one of its diagonals had the ratio too
}

// strong reports whether so many rows and diagonals agree that chance is out
// of the question: a finder's core is three modules high.
func (c candidate) strong() bool {
	return float64(c.seen) >= max(3, 1.5*c.down) && 5*c.diagonals >= 6*c.seen
}

// module returns the candidate's scale in pixels a module.
func (c candidate) module() float64 { return math.Sqrt(c.across * c.down) }

// scaled returns the candidate in a picture that is k times as large.
func (c candidate) scaled(k float64) candidate {
	c.Point, c.across, c.down = c.by(k), c.across*k, c.down*k
	c.seen, c.diagonals = c.seen*int(k), c.diagonals*int(k)
	return c
}

const (
	inkAbove      = 8   // contrast from which a pixel counts as dark
	leastModule   = 1.1 // pixels a module that a scan can see
	largestModule = 7.5
)

// mostCandidates bounds how many candidates of one scan are kept: a fabric or a
// printed screen may show thousands.
const mostCandidates = 400

// candidates scans a contrast picture row by row, and returns what at least two
// rows met, in the order of the rows.
func candidates(c *contrast) []candidate {
	s := scanner{contrast: c, cells: map[cell][]int{}}
	for y := range c.h {
		s.scan(y)
	}
	found := slices.DeleteFunc(s.found, func(f candidate) bool { return f.seen < 2 })
	if len(found) > mostCandidates {
		slices.SortStableFunc(found, func(a, b candidate) int { return b.seen - a.seen })
		found = found[:mostCandidates]
	}
	return found
}

type scanner struct {
	*contrast
	edges []int // where runs begin in the row at hand, dark runs at odd places
	found []candidate
	cells map[cell][]int // what was found in each square of the picture
}

// A cell is a square of cellSide pixels, so wide that sightings of one finder
// lie in neighbouring cells.
type cell struct{ x, y int }

const cellSide = 2 * largestModule

func cellOf(p Point) cell { return cell{int(p.X / cellSide), int(p.Y / cellSide)} }

func (s *scanner) dark(x, y int) bool { return s.pix[y*s.w+x] > inkAbove }

// scan splits a row into runs and tests every five of them that begin dark.
func (s *scanner) scan(y int) {
	s.edges = append(s.edges[:0], 0)
	dark := false
	for x, v := range s.row(y) {
		if v > inkAbove != dark {
			s.edges, dark = append(s.edges, x), !dark
		}
	}
	s.edges = append(s.edges, s.w)
	for i := 1; i+5 < len(s.edges); i += 2 {
		e := s.edges[i : i+6]
		runs := [5]int{e[1] - e[0], e[2] - e[1], e[3] - e[2], e[4] - e[3], e[5] - e[4]}
		if m, ok := finderRuns(runs); ok {
			s.consider(float64(e[2]+e[3])/2, y, m)
		}
	}
}

// finderRuns reports whether runs of dark, light, dark, light, dark have the
// ratio 1:1:3:1:1, and pixels a module. Ink that runs or fades makes all dark
// runs longer or shorter alike; half a module is allowed for that and noise.
func finderRuns(r [5]int) (m float64, ok bool) {
	total := r[0] + r[1] + r[2] + r[3] + r[4]
	m = float64(total) / finder
	if m < leastModule || m > largestModule {
		return 0, false
	}
	slack := 0.5*m + 0.6
	for _, i := range [4]int{0, 1, 3, 4} {
		if math.Abs(float64(r[i])-m) > slack {
			return 0, false
		}
	}
	return m, math.Abs(float64(r[2])-3*m) <= 0.9*m+0.6
}

// consider checks a hit of row y down the column and along the row again, and
// files it.
func (s *scanner) consider(x float64, y int, across float64) {
	mid, down, ok := s.crossCheck(int(x), y, 0, 1, across)
	if !ok || down > 3.5*across || across > 3.5*down {
		return
	}
	cy := float64(y) + 0.5 + mid
	mid, again, ok := s.crossCheck(int(x), int(cy), 1, 0, down)
	if !ok {
		return
	}
	diagonals := 0
	for _, dy := range [2]int{1, -1} {
		if _, _, ok := s.crossCheck(int(x), int(cy), 1, dy, max(again, down)); ok {
			diagonals++
		}
	}
	s.file(candidate{Point{float64(int(x)) + 0.5 + mid, cy}, again, down, 1, diagonals})
}

// crossCheck measures the runs through a dark pixel along a direction. It
// returns how far the middle of the core lies from the pixel's centre.
func (s *scanner) crossCheck(x, y, dx, dy int, like float64) (mid, m float64, ok bool) {
	if !s.dark(x, y) {
		return 0, 0, false
	}
	longest := int(like*3.5*3.5) + 4
	back, ok1 := s.arms(x, y, -dx, -dy, longest)
	fore, ok2 := s.arms(x, y, dx, dy, longest)
	if !ok1 || !ok2 {
		return 0, 0, false
	}
	m, ok = finderRuns([5]int{back[2], back[1], back[0] + fore[0] + 1, fore[1], fore[2]})
	return float64(fore[0]-back[0]) / 2, m, ok
}

// arms measures the rest of the core, the light ring and the dark ring beyond
// a pixel.
func (s *scanner) arms(x, y, dx, dy, longest int) (runs [3]int, ok bool) {
	for i := range runs {
		for dark := i != 1; ; runs[i]++ {
			x, y = x+dx, y+dy
			if x < 0 || y < 0 || x >= s.w || y >= s.h {
				return runs, i == 2 && runs[2] > 0
			}
			if s.dark(x, y) != dark {
				x, y = x-dx, y-dy
				break
			}
			if runs[i] > longest {
				return runs, false
			}
		}
	}
	return runs, true
}

// file joins the hit to the candidate it belongs to, or begins a new one.
func (s *scanner) file(hit candidate) {
	at := cellOf(hit.Point)
	for y := at.y - 1; y <= at.y+1; y++ {
		for x := at.x - 1; x <= at.x+1; x++ {
			for _, i := range s.cells[cell{x, y}] {
				f := &s.found[i]
				if f.minus(hit.Point).length() < 2*f.module() && similar(f.module(), hit.module(), 1.5) {
					f.join(hit)
					return
				}
			}
		}
	}
	s.cells[at] = append(s.cells[at], len(s.found))
	s.found = append(s.found, hit)
}

// join averages two sightings of one candidate.
func (c *candidate) join(d candidate) {
	n, k := float64(c.seen), float64(d.seen)
	c.Point = c.by(n/(n+k)).along(d.Point, k/(n+k))
	c.across, c.down = (c.across*n+d.across*k)/(n+k), (c.down*n+d.down*k)/(n+k)
	c.seen, c.diagonals = c.seen+d.seen, c.diagonals+d.diagonals
}

func similar(a, b, factor float64) bool { return a < b*factor && b < a*factor }
