package photo

import "slices"

// smallSide is the longer side, in pixels, of the largest picture that is always
// looked at.
const smallSide = 1200

// firstPass looks for three clear finders, from the small picture to the full
// one. It ends early when something is found and no finder is left over.
func (r *reader) firstPass() {
	for i := len(r.light) - 1; i >= 0; i-- {
		r.light.prepare(i)
		r.threes(candidates(r.light[i].contrast), r.light[i].scale)
		if i <= r.light.within(smallSide) && !r.wanting() {
			return
		}
	}
}

// threes opens candidates of a level of that scale and tries every three of
// those that are open.
func (r *reader) threes(cs []candidate, scale float64) {
	r.addCandidates(cs, scale)
	for _, g := range triples(r.open) {
		r.try(r.light, g)
	}
	r.close()
}

// blurredPass looks for finders whose rings blur has nearly closed.
func (r *reader) blurredPass() {
	for i := len(r.light) - 1; i >= r.light.within(smallSide); i-- {
		r.threes(candidates(contrastOf(r.light[i].plane, narrow)), r.light[i].scale)
	}
	if r.wanting() {
		r.secondPass()
	}
}

// addCandidates opens candidates of a level of that scale, unless they belong
// to something found or are open already.
func (r *reader) addCandidates(cs []candidate, scale float64) {
	for _, c := range cs {
		c = c.scaled(scale)
		if r.explained(c.Point) {
			continue
		}
		same := func(d candidate) bool {
			return d.minus(c.Point).length() < c.module() && similar(c.module(), d.module(), 1.4)
		}
		if i := slices.IndexFunc(r.open, same); i < 0 && len(r.open) < 2*mostCandidates {
			r.open = append(r.open, c)
		} else if i >= 0 && r.open[i].seen < c.seen {
			r.open[i] = c
		}
	}
}

// redPass reads the red of the picture alone, in which red-brown dye and
// yellow slime are pale.
func (r *reader) redPass() {
	red := redOf(r.img)
	if !r.wanting() || red == nil || !red.differs(r.light[0].plane) {
		return
	}
	r.look(red)
	r.firstPass()
	if r.wanting() {
		r.secondPass()
		r.ringsPass()
	}
}

// mostShapes bounds how many single finders of one scan are looked at.
const mostShapes = 24

// mostOpen bounds how many candidates are fitted.
const mostOpen = 80

const (
	leastShape = 0.4 // agreement from which a candidate may be a finder
	clearShape = 0.6 // and from which it probably is
	fewShapes  = 5   // so many are tried in any case while something is wanting: blur leaves no finder clear
)

// secondPass starts from single finders, the clearest first.
func (r *reader) secondPass() {
	slices.SortStableFunc(r.open, func(a, b candidate) int { return b.seen - a.seen })
	r.ones(r.open[:min(mostOpen, len(r.open))])
}

// ones tries the symbols that each candidate may be a finder of.
func (r *reader) ones(cs []candidate) {
	var shapes []shape
	for _, c := range cs {
		if r.light[r.light.fit(c.module())].contrast == nil && !r.wanting() {
			continue // not worth computing for what is probably no finder
		}
		if s := r.shape(r.light, c); s.score > leastShape {
			shapes = append(shapes, s)
		}
	}
	slices.SortStableFunc(shapes, func(a, b shape) int { return compare(b.score, a.score) })
	for i, s := range shapes[:min(mostShapes, len(shapes))] {
		if s.score < clearShape && (i >= fewShapes || !r.wanting()) {
			break
		}
		if !r.explained(s.Point) {
			r.trySingle(r.light, s)
		}
	}
	r.close()
}

// ringsPass looks for finders of which no line is whole.
func (r *reader) ringsPass() {
	for i := len(r.light) - 1; i >= r.light.within(smallSide) && (r.wanting() || r.many()); i-- {
		r.light.prepare(i)
		var cs []candidate
		for _, c := range rings(r.light[i].contrast) {
			if c = c.scaled(r.light[i].scale); !r.explained(c.Point) {
				cs = append(cs, c)
			}
		}
		r.ones(cs)
	}
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

// trySingle tries the likeliest symbols that a finder may belong to.
func (r *reader) trySingle(p pyramid, s shape) {
	gs := s.guesses()
	for i := range gs {
		l := r.levelFor(p, gs[i].pose)
		known, _ := l.agreement(gs[i].scaled(1 / l.scale))
		gs[i].unlikely = -known
	}
	slices.SortStableFunc(gs, func(a, b guess) int { return compare(a.unlikely, b.unlikely) })
	for _, g := range gs[:3] {
		if -g.unlikely > leastSingle && r.try(p, g) {
			return
		}
	}
}

func (r *reader) levelFor(p pyramid, at pose) level {
	i := p.fit(at.module())
	p.prepare(i)
	return p[i]
}

const (
	leastGuess  = 0.12 // agreement with the known modules that a guess from three finders needs
	leastSingle = 0.18 // and one from a single finder
	leastFit    = 0.33 // and that its fit needs to be read
)

// try registers a guess and reads what is there.
func (r *reader) try(p pyramid, g guess) bool {
	for i, c := range g.quad {
		if g.free&(1<<i) == 0 && r.explained(c) {
			return false
		}
	}
	i := p.fit(g.module())
	p.prepare(i)
	l := p[i]
	at := g.scaled(1 / l.scale)
	if known, _ := l.agreement(at); known < leastGuess {
		return false
	}
	at = l.search(at, g.free, 4, 0.8)
	at, known := l.refine(at, 0.6, 0.06)
	if known < leastFit {
		return false
	}
	at, known = l.centre(at)
	f, ok := p.fitted(i, at, known)
	return ok && !r.failed(f) && r.read(f)
}
