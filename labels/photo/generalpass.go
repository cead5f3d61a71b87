package photo

// generalPass asks the general reader: on the small picture, and at every size
// when any symbol is wanted.
func (r *reader) generalPass() {
	last := r.light.within(smallSide)
	if r.options.Any {
		last = 0
	}
	for i := len(r.light) - 1; i >= last; i-- {
		r.light.prepare(i)
		if c := r.light[i].contrast; len(candidates(c)) <= mostForGeneral {
			for _, g := range readGeneral(c) {
				r.general(g, r.light[i].scale)
			}
		}
	}
	r.close()
}

// mostForGeneral is how many candidates a picture may have for the library's own
// search, which tries every three of what it takes for finders.
const mostForGeneral = 100

// general files what the general reader read. A code must be confirmed by
// registration: a symbol that merely says the words of a code is none of ours.
func (r *reader) general(g general, scale float64) {
	a, b, d := g.finders[0].by(scale), g.finders[1].by(scale), g.finders[2].by(scale)
	if r.explained(a.plus(b).plus(d).by(1. / 3)) {
		return
	}
	if g.ours && r.try(r.light, guess{pose: pose{quad: quad{a, b, b.plus(d).minus(a), d}}, free: 4}) {
		return
	}
	for i := range g.corners {
		g.corners[i] = g.corners[i].by(scale)
	}
	if _, code := codeOf(g.text); !code || r.options.Any {
		r.unregistered(g.text, g.corners, g.ours)
	}
}
