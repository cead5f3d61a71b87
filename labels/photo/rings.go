package photo

import (
	"math"
	"slices"
)

// Where damage breaks the runs of a finder on every line, enough of its rings
// may still be seen: a dark core within light.

const (
	ringCore = 20 // contrast that the core must have at least
	ringStep = 36 // and how much darker than the ring about it it must be
	mostRing = 150
)

// ringScales are the modules looked for at a level, in pixels; the next level
// has those twice as large.
var ringScales = [3]float64{1.6, 2.0, 2.6}

// ringOffsets are five places in the core and eight in the light ring about it,
// as steps in the pixels of a row-by-row picture w pixels wide.
func ringOffsets(m float64, w int) (core [5]int, ring [8]int) {
	at := func(x, y float64) int { return int(math.Round(y))*w + int(math.Round(x)) }
	for i, d := range [5]Point{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		core[i] = at(d.X*m*0.8, d.Y*m*0.8)
	}
	for i := range ring {
		sin, cos := math.Sincos(float64(i) * math.Pi / 4)
		ring[i] = at(2.2*m*cos, 2.2*m*sin)
	}
	return core, ring
}

// rings returns candidates whose core stands out from the ring about it, the
// clearest first.
func rings(c *contrast) []candidate {
	var found []candidate
	for _, m := range ringScales {
		found = append(found, c.ringsOf(m)...)
	}
	slices.SortStableFunc(found, func(a, b candidate) int { return b.seen - a.seen })
	return found[:min(mostRing, len(found))]
}

// ringsOf looks for one scale. What is seen by a candidate here is the step
// from its ring to its core.
func (c *contrast) ringsOf(m float64) []candidate {
	core, ring := ringOffsets(m, c.w)
	margin := int(math.Ceil(2.2*m)) + 1
	steps := make([]int16, len(c.pix))
	for y := margin; y < c.h-margin; y++ {
		for x := margin; x < c.w-margin; x++ {
			i := y*c.w + x
			if c.pix[i] < ringCore {
				continue
			}
			steps[i] = int16(c.step(i, core, ring))
		}
	}
	var found []candidate
	for y := margin; y < c.h-margin; y++ {
		for x := margin; x < c.w-margin; x++ {
			if i := y*c.w + x; steps[i] >= ringStep && highest(steps, i, c.w) {
				found = append(found, candidate{Point{float64(x) + 0.5, float64(y) + 0.5}, m, m, int(steps[i]), 0})
			}
		}
	}
	return found
}

// step returns how much darker the core at pixel i is than the ring, or 0 when
// the core is not dark.
func (c *contrast) step(i int, core [5]int, ring [8]int) int {
	dark, light := 0, 0
	for _, d := range core {
		dark += int(c.pix[i+d])
	}
	if dark < ringCore*len(core) {
		return 0
	}
	for _, d := range ring {
		light += int(c.pix[i+d])
	}
	return dark/len(core) - light/len(ring)
}

// highest reports whether no neighbour of i has more.
func highest(v []int16, i, w int) bool {
	for _, d := range [8]int{-w - 1, -w, -w + 1, -1, 1, w - 1, w, w + 1} {
		if v[i+d] > v[i] || v[i+d] == v[i] && d < 0 {
			return false
		}
	}
	return true
}
