package photo

import "slices"

// A search looks for symbols of every version in one tone of the picture. It
// starts from finders and registers the sheets that may hang between them.
type search struct {
	*reader
	light   pyramid
	grown   float64 // pixels of its picture to one of the reader's
	finders []shape // in pixels of its picture
	seen    []candidate
	tried   map[[3]int]bool
	spent   int  // tries
	bowed   int  // modules of the sheets that were bowed
	turned  bool // its picture has light and dark exchanged
}

const (
	smallPicture = 2_000_000 // pixels up to which a picture is looked at enlarged too
	mostFinders  = 300
	mostTries    = 400
	mostBowed    = 20_000 // modules
	leastRings   = 0.3    // agreement from which a candidate may be a finder of any symbol
	leastGlance  = 0.08   // agreement that the timing of a sheet needs at first sight
	leastTiming  = 0.22   // and that the timing of a sheet needs
	leastSheet   = 0.2    // and all that is known of it
)

// anyPass looks for symbols that are none of ours, light ones on dark ground
// too.
func (r *reader) anyPass() {
	p := r.light[0].plane
	r.searchIn(p, false)
	r.searchIn(p.inverted(), true)
	r.close()
}

func (r *reader) searchIn(p *plane, turned bool) {
	s := &search{reader: r, light: newPyramid(p), grown: 1, tried: map[[3]int]bool{}, turned: turned}
	if len(p.pix) <= smallPicture {
		s.light, s.grown = newPyramid(p.double()), 2
	}
	for _, radius := range [3]int{wide, narrow, 3 * wide} {
		for i := len(s.light) - 1; i >= 0; i-- {
			if radius != wide && len(s.light[i].plane.pix) > 4*smallPicture {
				continue
			}
			s.scan(i, radius)
		}
	}
}

// scan looks for finders at one size and tries the sheets they allow.
func (s *search) scan(i, radius int) {
	s.light.prepare(i)
	c := s.light[i].contrast
	if radius != wide {
		c = contrastOf(s.light[i].plane, radius)
	}
	if s.addFinders(candidates(c), s.light[i].scale) {
		s.threes()
	}
}

// addFinders lists the candidates that look like finders and are not listed.
func (s *search) addFinders(cs []candidate, scale float64) (added bool) {
	slices.SortStableFunc(cs, func(a, b candidate) int { return b.seen - a.seen })
	for _, c := range cs {
		c = c.scaled(scale)
		if len(s.finders) == mostFinders || s.hasSeen(c) || s.explained(c.by(1/s.grown)) {
			continue
		}
		s.seen = append(s.seen, c)
		if f := s.shape(s.light, c); f.score > leastRings {
			s.finders, added = append(s.finders, f), true
		}
	}
	return added
}

func (s *search) hasSeen(c candidate) bool {
	return slices.ContainsFunc(s.seen, func(d candidate) bool {
		return d.minus(c.Point).length() < 0.7*c.module() && similar(c.module(), d.module(), 1.25)
	})
}

func (s *search) threes() {
	for _, t := range threesOf(s.finders) {
		if s.spent >= mostTries {
			return
		}
		if s.tried[t.places] || s.anyExplained(t) {
			continue
		}
		s.tried[t.places] = true
		s.spent++
		s.tryThree(t)
	}
}

func (s *search) anyExplained(t three) bool {
	return slices.ContainsFunc(t.places[:], func(i int) bool { return s.explained(s.finders[i].by(1 / s.grown)) })
}

// inverted returns the plane with light and dark exchanged.
func (p *plane) inverted() *plane {
	q := &plane{p.w, p.h, make([]uint8, len(p.pix))}
	for i, v := range p.pix {
		q.pix[i] = 255 - v
	}
	return q
}

// unregistered files a symbol that need not be one of ours, even if it is drawn
// as ours are. One that says a code is not, and is kept for the end: the passes
// that know what soaktag prints come first.
func (r *reader) unregistered(text string, corners [4]Point, ours bool) {
	_, code := codeOf(text)
	f := Found{Text: text, How: Decoded, Corners: corners, Foreign: code || !ours}
	if code {
		r.strangers = append(r.strangers, f)
		return
	}
	r.file(f)
}

// fileStrangers files those that nothing else was found in the place of.
func (r *reader) fileStrangers() {
	for _, f := range r.strangers {
		if !r.explained(middle(f.Corners)) {
			r.file(f)
		}
	}
}
