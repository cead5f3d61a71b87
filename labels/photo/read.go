// Package photo reads the symbols of labels in photographs, damaged ones too.
//
// It knows what was printed: QR version 1 at level H with one text of capitals
// and digits, and may be given the list of all that exist. A symbol is first
// decoded; where too little is left of it for that, it is recognised among
// what is on the list. Both are said apart.
package photo

import (
	"image"

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
	Text     string      // what it says
	Code     labels.Code // zero unless the text is the code of a specimen
	Half     int         // the half that the code names, 0 for a whole specimen
	How      How
	Corners  [4]Point // of the symbol without its light border, clockwise from its own top left
	Errors   int      // code words that were wrong, of 26
	Erasures int      // code words that were left out because they could not be told
	Margin   float64  // how sure: from 0, no more than allowed, to 1
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
	return r.found
}

type reader struct {
	list    *List
	options Options
	light   pyramid
	found   []Found
	open    []candidate // finders that belong to nothing found, in pixels of the picture
}

// firstPass looks for three clear finders, from the small picture to the full
// one.
func (r *reader) firstPass() {
	for i := r.light.first(); i >= 0; i-- {
		r.light.prepare(i)
		r.addCandidates(candidates(r.light[i].contrast), r.light[i].scale)
		for _, g := range triples(r.open) {
			r.try(r.light, g)
		}
		r.close()
		if len(r.found) > 0 && len(r.open) == 0 {
			return
		}
	}
}

func (r *reader) addCandidates(cs []candidate, scale float64) {
	for _, c := range cs {
		c.Point, c.across, c.down = c.by(scale), c.across*scale, c.down*scale
		if !r.explained(c.Point) {
			r.open = append(r.open, c)
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

func (r *reader) try(p pyramid, g guess) {
	for i, c := range g.quad {
		if g.free&(1<<i) == 0 && r.explained(c) {
			return
		}
	}
	i := p.fit(g.module())
	p.prepare(i)
	l := p[i]
	at := g.scaled(1 / l.scale)
	if known, _ := l.agreement(at); known < 0.12 {
		return
	}
	at = l.search(at, g.free, 4, 0.8)
	at, known := l.refine(at, 0.6, 0.06)
	if known < 0.3 {
		return
	}
	w, ok := at.warp()
	if !ok {
		return
	}
	s := l.sample(&w)
	full := at.scaled(l.scale)
	fw, _ := full.warp()
	for _, rule := range rules {
		soft := rule(s)
		if d, ok := soft.decode(); ok {
			f := Found{Text: d.text, How: Decoded, Corners: fw.corners(), Errors: d.errors, Erasures: d.erasures, Margin: float64(ecWords-d.cost()) / ecWords}
			r.found = append(r.found, f)
			return
		}
	}
}
