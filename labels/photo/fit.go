package photo

import "slices"

// A fit is a registered symbol and what was sampled there: from the picture at
// the size that shows modules sharply, and from the one half as large, which has
// less noise.
type fit struct {
	pose          // in pixels of the picture
	known float64 // agreement with the known modules
	level int
	fine  *sampling
	rough *sampling
}

// fitted samples a pose that was registered at a level, given in its pixels.
func (p pyramid) fitted(i int, at pose, known float64) (fit, bool) {
	at = at.scaled(p[i].scale)
	f := fit{pose: at, known: known, level: i}
	rough, ok := p.sample(i, at)
	fine, ok2 := p.sample(max(0, min(i-1, p.fit(at.shortest())-1)), at)
	f.rough, f.fine = rough, fine
	return f, ok && ok2
}

func (p pyramid) sample(i int, at pose) (*sampling, bool) {
	w, ok := at.scaled(1 / p[i].scale).warp()
	if !ok {
		return nil, false
	}
	return p[i].plane.sample(&w), true
}

// failed reports whether the fit is one of those that could not be read.
func (r *reader) failed(f fit) bool {
	return slices.ContainsFunc(r.weak, func(g fit) bool { return g.nearTo(f.pose, 0.3) })
}

// read decodes or matches what was sampled, and files it.
func (r *reader) read(f fit) bool {
	if r.decode(f, f.fine) || r.decode(f, f.rough) || r.match(f, f.fine) || r.match(f, f.rough) {
		return true
	}
	r.weak = append(r.weak, f)
	return false
}

// decode files the text that the sampling says by itself.
func (r *reader) decode(f fit, s *sampling) bool {
	for _, rule := range rules {
		if d, ok := rule(s).decode(); ok {
			return r.fileDecoded(f, d)
		}
	}
	return false
}

func (r *reader) fileDecoded(f fit, d decoding) bool {
	w, ok := f.warp()
	if ok {
		r.file(Found{Text: d.text, How: Decoded, Corners: w.corners(), Errors: d.errors, Erasures: d.erasures,
			Margin: float64(ecWords-d.cost()) / ecWords})
	}
	return ok
}

// match files the entry of the list that the sampling looks like, if there is
// one alone. Where two rules find different ones, both are filed: they are in
// one place, and so ambiguous.
func (r *reader) match(f fit, s *sampling) bool {
	w, ok := f.warp()
	if !ok || r.list == nil {
		return false
	}
	var matches []match
	for _, rule := range rules {
		m, ok := r.list.match(rule(s))
		same := func(n match) bool { return n.entry == m.entry }
		if ok && !slices.ContainsFunc(matches, same) {
			matches = append(matches, m)
		}
	}
	if len(matches) == 1 && r.upgrade(f, matches[0]) {
		return true
	}
	for _, m := range matches {
		r.file(Found{Text: r.list.entries[m.entry].text, How: Matched, Corners: w.corners(), Margin: m.margin})
	}
	return len(matches) > 0
}

// What the last pass looks at again: so many fits, or one of every place up to
// so many places and two more; and the first so many may be blurred, which takes
// longest.
const (
	mostWeak    = 4
	mostPlaces  = 8
	mostBlurred = 6
)

// lastPass takes what was registered and not read, the best of every place
// first, and lets the face be uneven and the picture be blurred.
func (r *reader) lastPass() {
	first, others := r.weakPlaces()
	first = first[:min(mostPlaces, len(first))]
	more := max(2, mostWeak-len(first))
	for i, f := range append(first, others[:min(more, len(others))]...) {
		w, ok := f.warp()
		if !ok || r.explained(w.at(size/2., size/2.)) {
			continue
		}
		if !r.readBent(f) && !r.readRippled(f) && i < mostBlurred {
			r.readBlurred(f)
		}
	}
	r.unevenPass()
}

// weakPlaces returns the best fit of each place where none was read, and the
// others, the best first: one symbol is often registered in several poses.
func (r *reader) weakPlaces() (first, others []fit) {
	weak := r.weak
	slices.SortStableFunc(weak, func(a, b fit) int { return compare(b.known, a.known) })
	for _, f := range weak {
		w, ok := f.warp()
		if !ok || r.explained(w.at(size/2., size/2.)) {
			continue
		}
		corners := w.corners()
		same := func(g fit) bool { v, _ := g.warp(); return overlap(v.corners(), corners) }
		if slices.ContainsFunc(first, same) {
			others = append(others, f)
		} else {
			first = append(first, f)
		}
	}
	return first, others
}

func (r *reader) readBent(f fit) bool {
	p := r.light
	c, at := p[f.level].contrast, f.scaled(1/p[f.level].scale)
	at = bent(c.agreement, at, at.module(), 1)
	known, _ := c.agreement(at)
	g, ok := p.fitted(f.level, at, known)
	return ok && known > f.known && (r.decode(g, g.fine) || r.match(g, g.fine))
}

// readBlurred places the symbol again by its fine edges, undoes the likeliest
// blur, places it once more by what came out, and reads that.
func (r *reader) readBlurred(f fit) bool {
	i := max(0, f.level-1)
	g, ok := r.light.sharpFit(i, f)
	if !ok {
		return false
	}
	g.pose = r.light.polish(i, g.pose, g.fine.ranked(1)[0])
	if g.fine, ok = r.light.sample(i, g.pose); !ok {
		return false
	}
	var sharp []*sampling
	for _, k := range g.fine.ranked(mostKernels) {
		sharp = append(sharp, g.fine.sharpened(k, fullRounds))
	}
	for _, read := range []func(fit, *sampling) bool{r.decode, r.match} {
		for _, s := range sharp {
			if read(g, s) {
				return true
			}
		}
	}
	return false
}

// mostKernels bounds how many blurs are undone to the end.
const mostKernels = 6

// sharpFit registers a fit again at a level, judging every pixel among those
// hardly a module away.
func (p pyramid) sharpFit(i int, f fit) (fit, bool) {
	at := f.scaled(1 / p[i].scale)
	w, ok := at.warp()
	if !ok {
		return f, false
	}
	m := at.module()
	part, corner := p[i].plane.crop(w.corners(), 4*m)
	if part.w == 0 || part.h == 0 {
		return f, false
	}
	c := contrastOf(part, max(3, int(1.1*m+0.5)))
	at, known := c.refine(at.moved(corner), 0.5, 0.04)
	at, _ = c.centre(at)
	return p.fitted(i, at.moved(corner.by(-1)), known)
}
