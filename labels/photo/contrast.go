package photo

import "math"

// A contrast is a picture of how dark each pixel is among its neighbours:
// (mean - grey) / (standard deviation + floor) over a square window, times
// unit and clipped. Neither uneven light nor fading changes it much.
type contrast struct {
	w, h int
	pix  []int8
}

const (
	wide          = 12  // radius of the window in pixels: modules of 1.5 to 5 pixels are judged among 5 to 16 others
	narrow        = 5   // another, that tells the rings of a finder apart when blur has nearly closed them
	unit          = 64  // a pixel that is one standard deviation darker than the mean
	contrastFloor = 1.5 // grey levels: what varies less is nothing
)

// row returns the pixels of row y.
func (c *contrast) row(y int) []int8 { return c.pix[y*c.w:][:c.w] }

// contrastOf computes the contrast of a plane with sums that slide down the
// columns and along the rows, so that the window's size costs nothing.
func contrastOf(p *plane, radius int) *contrast {
	c := &contrast{p.w, p.h, make([]int8, p.w*p.h)}
	s := newSums(p, radius)
	s.grain = 1.5 * float32(p.noise())
	for y := range p.h {
		s.slideTo(y)
		s.row(y, c.row(y))
	}
	return c
}

// sums holds for each column the sum of grey and of its square over the rows
// of the window.
type sums struct {
	*plane
	grey, square []int64
	first, last  int // rows summed: first to last-1
	radius       int
	grain        float32 // what is not this much darker than the mean is not ink
}

func newSums(p *plane, radius int) *sums {
	return &sums{plane: p, radius: radius, grey: make([]int64, p.w), square: make([]int64, p.w)}
}

func (s *sums) slideTo(y int) {
	for ; s.last < min(s.h, y+s.radius+1); s.last++ {
		for x, v := range s.plane.row(s.last) {
			s.grey[x] += int64(v)
			s.square[x] += int64(v) * int64(v)
		}
	}
	for ; s.first < y-s.radius; s.first++ {
		for x, v := range s.plane.row(s.first) {
			s.grey[x] -= int64(v)
			s.square[x] -= int64(v) * int64(v)
		}
	}
}

func (s *sums) row(y int, out []int8) {
	var grey, square int64
	pix, from, to := s.plane.row(y), 0, 0
	for x := range out {
		for ; to < min(s.w, x+s.radius+1); to++ {
			grey, square = grey+s.grey[to], square+s.square[to]
		}
		for ; from < x-s.radius; from++ {
			grey, square = grey-s.grey[from], square-s.square[from]
		}
		n := float32((to - from) * (s.last - s.first))
		mean := float32(grey) / n
		spread := float32(0)
		if v := float32(square)/n - mean*mean; v > 0 {
			spread = float32(math.Sqrt(float64(v)))
		}
		darker := mean - float32(pix[x])
		out[x] = clipped(unit * darker / (spread + contrastFloor))
		if darker < s.grain {
			out[x] = min(out[x], inkAbove)
		}
	}
}

// clipped is what fits; min and max of floats are calls in a browser, and slow.
func clipped(v float32) int8 {
	switch {
	case v > 127:
		return 127
	case v < -127:
		return -127
	}
	return int8(v)
}

// noise estimates the standard deviation of the plane's noise, from how far
// pixels lie from the mean of their neighbours to the left and right; half of
// them lie in places without edges.
func (p *plane) noise() float64 {
	var count [256]int
	total := 0
	for y := 0; y < p.h; y += 4 {
		row := p.row(y)
		for x := 1; x+1 < p.w; x += 3 {
			count[abs(2*int(row[x])-int(row[x-1])-int(row[x+1]))/2]++
			total++
		}
	}
	below, median := 0, 0
	for median < 255 && below+count[median] <= total/2 {
		below += count[median]
		median++
	}
	within := float64(median) + float64(total/2-below)/float64(max(1, count[median]))
	return within / 0.6745 / math.Sqrt(1.5)
}
