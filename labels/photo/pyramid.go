package photo

import "math"

// A level is the picture at one of its sizes.
type level struct {
	*plane
	*contrast
	scale float64 // pixels of the picture to one of the level
}

// A pyramid is the picture at full size and each half of the last.
type pyramid []level

const smallest = 60 // pixels of the shorter side of the last level

// newPyramid halves the plane as long as that leaves enough.
func newPyramid(p *plane) pyramid {
	levels := pyramid{{plane: p, scale: 1}}
	for min(p.w, p.h)/2 >= smallest {
		p = p.half()
		levels = append(levels, level{plane: p, scale: levels[len(levels)-1].scale * 2})
	}
	return levels
}

// prepare computes the contrast of a level unless that is done.
func (p pyramid) prepare(i int) {
	if p[i].contrast == nil {
		p[i].contrast = contrastOf(p[i].plane, wide)
	}
}

// fit returns the level at which a module of the given size, in pixels of the
// picture, is 2 to 4 pixels large, or the nearest there is.
func (p pyramid) fit(module float64) int {
	return p.clamp(math.Log2(module / 2))
}

func (p pyramid) clamp(i float64) int { return max(0, min(len(p)-1, int(math.Floor(i)))) }

// within returns the finest level whose longer side is at most so many pixels,
// or the coarsest.
func (p pyramid) within(side int) int {
	for i := range p {
		if max(p[i].plane.w, p[i].plane.h) <= side {
			return i
		}
	}
	return len(p) - 1
}
