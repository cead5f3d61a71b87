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
	fine, ok2 := p.sample(max(0, i-1), at)
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
	w, ok := f.warp()
	if !ok {
		return false
	}
	for _, rule := range rules {
		if d, ok := rule(s).decode(); ok {
			r.file(Found{Text: d.text, How: Decoded, Corners: w.corners(), Errors: d.errors, Erasures: d.erasures,
				Margin: float64(ecWords-d.cost()) / ecWords})
			return true
		}
	}
	return false
}

const (
	leastScore  = 0.66
	leastMargin = 0.22
)

// match files the entry of the list that the sampling looks like, if there is
// one alone.
func (r *reader) match(f fit, s *sampling) bool {
	w, ok := f.warp()
	if !ok || r.list == nil {
		return false
	}
	for _, rule := range rules {
		if m := r.list.match(rule(s)); m.score > leastScore && m.margin > leastMargin {
			r.file(Found{Text: r.list.entries[m.entry].text, How: Matched, Corners: w.corners(), Margin: m.margin})
			return true
		}
	}
	return false
}

// mostWeak bounds how many places are looked at again.
const mostWeak = 6

// lastPass takes what was registered and not read, the best first, and lets
// the face be bowed and the picture be blurred.
func (r *reader) lastPass() {
	weak := r.weak
	slices.SortStableFunc(weak, func(a, b fit) int { return compare(b.known, a.known) })
	looked := 0
	for _, f := range weak {
		w, ok := f.warp()
		if !ok || looked == mostWeak || r.explained(w.at(size/2., size/2.)) {
			continue
		}
		looked++
		if !r.readBent(f) {
			r.readBlurred(f)
		}
	}
	r.close()
}

func (r *reader) readBent(f fit) bool {
	p := r.light
	at, known := p[f.level].refineBend(f.scaled(1 / p[f.level].scale))
	g, ok := p.fitted(f.level, at, known)
	return ok && known > f.known && (r.decode(g, g.fine) || r.match(g, g.fine))
}

func (r *reader) readBlurred(f fit) bool {
	sharp := f.rough.deblurred(6)
	for _, s := range sharp {
		if r.decode(f, s) {
			return true
		}
	}
	for _, s := range sharp {
		if r.match(f, s) {
			return true
		}
	}
	return false
}
