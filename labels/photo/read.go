// Package photo reads the symbols of labels in photographs, damaged ones too.
//
// It knows what was printed: QR version 1 at level H with one text of capitals
// and digits, and may be given the list of all that exist. A symbol is first
// decoded; where too little is left of it for that, it is recognised among
// what is on the list. Both are said apart.
package photo

import (
	"image"
	"slices"

	"soaktag/labels"
)

// How tells how a symbol was read.
type How string

const (
	Decoded How = "decoded" // by its check words alone
	Matched How = "matched" // as the only one on the list that it looks like; confirm it
)

// Found is a symbol in a picture.
type Found struct {
	Text      string      // what it says
	Code      labels.Code // zero unless the text is the code of a specimen
	Half      int         // the half that the code names, 0 for a whole specimen
	How       How
	Corners   [4]Point // of the symbol without its light border, clockwise from its own top left
	Errors    int      // code words that were wrong, of 26
	Erasures  int      // code words that were left out because they could not be told
	Margin    float64  // how sure: from 0, no more than allowed, to 1
	Ambiguous bool     // another text was found in the same place: ask, never pick
}

// Options say what else is wanted.
type Options struct {
	Any bool // QR codes that are none of ours too
}

// Read returns the symbols in the picture, sorted from top to bottom and left
// to right. The list may be nil. The same picture and list always give the
// same answer.
func Read(img image.Image, list *List, o Options) []Found {
	r := &reader{list: list, options: o, light: newPyramid(lumaOf(img))}
	r.firstPass()
	if r.wanting() {
		r.secondPass()
	}
	if r.wanting() {
		r.lastPass()
	}
	return r.found
}

type reader struct {
	list    *List
	options Options
	light   pyramid
	found   []Found
	open    []candidate // finders that belong to nothing found, in pixels of the picture
	weak    []fit       // registered but neither decoded nor matched
}

// wanting reports whether there is anything to look for still.
func (r *reader) wanting() bool {
	return len(r.found) == 0 || slices.ContainsFunc(r.open, candidate.strong)
}

// firstPass looks for three clear finders, from the small picture to the full
// one.
func (r *reader) firstPass() {
	for i := r.light.within(600); i >= 0; i-- {
		r.light.prepare(i)
		r.addCandidates(candidates(r.light[i].contrast), r.light[i].scale)
		for _, g := range triples(r.open) {
			r.try(r.light, g)
		}
		r.close()
		if i <= r.light.within(1200) && !r.wanting() {
			return
		}
	}
}

const mostShapes = 80

// secondPass starts from single finders.
func (r *reader) secondPass() {
	slices.SortStableFunc(r.open, func(a, b candidate) int { return b.seen - a.seen })
	var shapes []shape
	for _, c := range r.open[:min(mostShapes, len(r.open))] {
		s := r.shape(r.light, c)
		if s.score > 0.4 {
			shapes = append(shapes, s)
		}
	}
	slices.SortStableFunc(shapes, func(a, b shape) int { return compare(b.score, a.score) })
	for _, s := range shapes {
		if !r.explained(s.Point) {
			r.trySingle(r.light, s)
		}
	}
	r.close()
}

// shape fits a finder at the level that suits its scale.
func (r *reader) shape(p pyramid, c candidate) shape {
	i := p.fit(c.module())
	p.prepare(i)
	k := p[i].scale
	c.Point, c.across, c.down = c.by(1/k), c.across/k, c.down/k
	s := p[i].shapeOf(c)
	s.Point, s.right, s.below = s.by(k), s.right.by(k), s.below.by(k)
	return s
}

func (r *reader) trySingle(p pyramid, s shape) {
	gs := s.guesses()
	for i := range gs {
		l := r.levelFor(p, gs[i].pose)
		known, _ := l.agreement(gs[i].scaled(1 / l.scale))
		gs[i].unlikey = -known
	}
	slices.SortStableFunc(gs, func(a, b guess) int { return compare(a.unlikey, b.unlikey) })
	for _, g := range gs[:4] {
		if r.try(p, g) {
			return
		}
	}
}

func (r *reader) addCandidates(cs []candidate, scale float64) {
	for _, c := range cs {
		c.Point, c.across, c.down = c.by(scale), c.across*scale, c.down*scale
		c.seen, c.diagonals = c.seen*int(scale), c.diagonals*int(scale)
		if r.explained(c.Point) {
			continue
		}
		same := func(d candidate) bool {
			return d.minus(c.Point).length() < c.module() && similar(c.module(), d.module(), 1.4)
		}
		if i := slices.IndexFunc(r.open, same); i < 0 {
			r.open = append(r.open, c)
		} else if r.open[i].seen < c.seen {
			r.open[i] = c
		}
	}
}

func (r *reader) explained(p Point) bool {
	for _, f := range r.found {
		if inside(f.Corners, p, 0.1) {
			return true
		}
	}
	return false
}

// close drops the candidates that now belong to a symbol.
func (r *reader) close() {
	kept := r.open[:0]
	for _, c := range r.open {
		if !r.explained(c.Point) {
			kept = append(kept, c)
		}
	}
	r.open = kept
}

func (r *reader) levelFor(p pyramid, at pose) level {
	i := p.fit(at.module())
	p.prepare(i)
	return p[i]
}

// try registers a guess and reads what is there.
func (r *reader) try(p pyramid, g guess) bool {
	for i, c := range g.quad {
		if g.free&(1<<i) == 0 && r.explained(c) {
			return false
		}
	}
	l := r.levelFor(p, g.pose)
	at := g.scaled(1 / l.scale)
	if known, _ := l.agreement(at); known < 0.12 {
		return false
	}
	at = l.search(at, g.free, 4, 0.8)
	at, known := l.refine(at, 0.6, 0.06)
	if known < 0.3 {
		return false
	}
	f, ok := fitted(l, at, known)
	return ok && r.read(f)
}
