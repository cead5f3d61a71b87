package photo

import (
	"math"
	"slices"
)

// A search looks for symbols of every version in one tone of the picture. It
// starts from finders and registers the sheets that may hang between them.
type search struct {
	*reader
	light   pyramid
	grown   float64 // pixels of its picture to one of the reader's
	finders []shape // in pixels of its picture
	seen    []candidate
	tried   map[[3]int]bool
	spent   int // tries
}

const (
	smallPicture = 2_000_000 // pixels up to which a picture is looked at enlarged too
	mostFinders  = 300
	mostTries    = 400
	leastRings   = 0.3  // agreement from which a candidate may be a finder of any symbol
	leastGlance  = 0.08 // agreement that the timing of a sheet needs at first sight
	leastTiming  = 0.22 // and that the timing of a sheet needs
	leastSheet   = 0.2  // and all that is known of it
)

// anyPass looks for symbols that are none of ours, light ones on dark ground
// too.
func (r *reader) anyPass() {
	p := r.light[0].plane
	r.searchIn(p)
	r.searchIn(p.inverted())
	r.close()
}

func (r *reader) searchIn(p *plane) {
	s := &search{reader: r, light: newPyramid(p), grown: 1, tried: map[[3]int]bool{}}
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

// A laid is a sheet as it was registered at a level.
type laid struct {
	*sheet
	pose
	level         int
	timing, known float64
}

// tryThree lays the sheets between three finders and reads the one that fits.
func (s *search) tryThree(t three) bool {
	a, b, d := s.finders[t.places[0]], s.finders[t.places[1]], s.finders[t.places[2]]
	p := pose{quad: quad{a.Point, b.Point, fourthOf(a, b, d), d.Point}}
	var all []laid
	for version := 1; version <= mostVersion; version++ {
		if off := math.Abs(float64(4*version+10) - t.steps); off <= max(5, 0.1*t.steps) {
			if l, ok := s.lay(sheets[version](), p); ok {
				all = append(all, l)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b laid) int { return compare(b.timing, a.timing) })
	for _, l := range all[:min(2, len(all))] {
		if s.readLaid(l) {
			return true
		}
	}
	return false
}

// lay registers a sheet at a pose in pixels of the whole picture.
func (s *search) lay(sh *sheet, p pose) (laid, bool) {
	i := s.light.fit(sh.module(p))
	s.light.prepare(i)
	c := s.light[i].contrast
	at := p.scaled(1 / s.light[i].scale)
	at = sh.placeFourth(c, at)
	if timing, _ := sh.agreement(c, sh.timing)(at); timing < leastGlance {
		return laid{}, false
	}
	all := sh.agreement(c, sh.marks)
	_, best := all(at)
	m := sh.module(at)
	for step := 0.6; step > 0.06; step *= 0.6 {
		for range 3 {
			q, better := nudge(all, at, best, step*m)
			if better <= best {
				break
			}
			at, best = q, better
		}
	}
	timing, _ := sh.agreement(c, sh.timing)(at)
	if timing < leastTiming || best < leastSheet {
		return laid{}, false
	}
	at = sh.centre(c, at)
	_, best = all(at)
	return laid{sh, at, i, timing, best}, true
}

// centre moves the corners so that modules are met in their middle.
func (s *sheet) centre(c *contrast, p pose) pose {
	broad := s.broad(c)
	_, best := broad(p)
	m := s.module(p)
	for step := 0.5; step > 0.04; step *= 0.7 {
		if q, v := nudge(broad, p, best, step*m); v > best {
			p, best = q, v
		}
	}
	return p
}

// broad is the agreement with modules that are averaged over four places each.
func (s *sheet) broad(c *contrast) func(pose) (known, all float64) {
	k := steps / float64(s.n-finder)
	return func(p pose) (known, all float64) {
		w, ok := p.warp()
		if !ok {
			return -2, -2
		}
		var parts [len(inner)]warp
		for i, d := range inner {
			parts[i] = w.shifted(d.by(k))
		}
		sure, clear := c.sums(&parts, s.marks), c.sums(&parts, s.text)
		return sure, sure/float64(len(s.marks)) + centreWeight*clear/float64(len(s.text))
	}
}

// sums adds up the contrast under the marks, each over its parts.
func (c *contrast) sums(parts *[len(inner)]warp, marks []mark) float64 {
	total := 0
	for i := range marks {
		v := 0
		for j := range parts {
			v += c.under(&parts[j], &marks[i])
		}
		if marks[i].sign == 0 {
			total += max(v, -v)
		} else {
			total += v * marks[i].sign
		}
	}
	return float64(total) / float64(unit*len(inner))
}

// agreement returns a function that tells how well a picture agrees with marks.
func (s *sheet) agreement(c *contrast, marks []mark) func(pose) (known, all float64) {
	return func(p pose) (known, all float64) {
		w, ok := p.warp()
		if !ok {
			return -2, -2
		}
		all = c.sum(&w, marks) / float64(len(marks))
		return all, all
	}
}

// placeFourth looks for the corner without a finder by timing and alignment.
func (s *sheet) placeFourth(c *contrast, p pose) pose {
	inner := s.agreement(c, s.inner)
	_, best := inner(p)
	m, from, kept := s.module(p), p.quad[2], p
	reach := 2 + 0.04*float64(s.n)
	for dy := -reach; dy <= reach; dy += 0.7 {
		for dx := -reach; dx <= reach; dx += 0.7 {
			p.quad[2] = from.plus(Point{dx * m, dy * m})
			if _, v := inner(p); v > best {
				best, kept = v, p
			}
		}
	}
	return kept
}

// readLaid reads a sheet as it lies, then bowed, then as a net lays it.
func (s *search) readLaid(l laid) bool {
	at, ok := l.sheet.at(l.pose)
	if !ok {
		return false
	}
	if s.readAt(l, &at) {
		return true
	}
	c := s.light[l.level].contrast
	if bowed, ok := l.bow(c); ok {
		if at, ok := l.sheet.at(bowed); ok {
			if s.readAt(l, &at) {
				return true
			}
			at.net(c, l.sheet.module(bowed))
			if s.readAt(l, &at) {
				return true
			}
		}
	}
	at.net(c, l.sheet.module(l.pose))
	return s.readAt(l, &at)
}

// bow lets the sheet be bowed about either axis.
func (l laid) bow(c *contrast) (pose, bool) {
	all := l.agreement(c, l.marks)
	p, start := l.pose, l.known
	best, m := start, l.sheet.module(l.pose)
	for step := 1.6; step > 0.1; step *= 0.6 {
		for range 3 {
			q, v := nudgeBow(all, p, best, step*m)
			q, v = nudge(all, q, v, step*m/2)
			if v <= best {
				break
			}
			p, best = q, v
		}
	}
	return p, best > start
}

// nudgeBow tries one step of each bow in eight directions.
func nudgeBow(agreement func(pose) (known, all float64), p pose, best, step float64) (pose, float64) {
	for _, k := range []*Point{&p.across, &p.down} {
		from, kept := *k, *k
		for _, d := range directions {
			*k = from.along(d, step)
			if _, v := agreement(p); v > best+1e-6 {
				best, kept = v, *k
			}
		}
		*k = kept
	}
	return p, best
}

// readAt samples a sheet and decodes it by one rule after the other.
func (s *search) readAt(l laid, at *sheetAt) bool {
	i := max(0, l.level-1)
	grey := at.grey(s.light[i].plane, s.light[l.level].scale/s.light[i].scale)
	for _, v := range []soft{l.levelled(grey, 5), at.clearness(s.light[l.level].contrast),
		l.levelled(l.sharper(grey, 0.5), 5), l.levelled(l.sharper(grey, 1.2), 4)} {
		if t, ok := l.decode(v); ok {
			s.fileSaid(t, at, s.light[l.level].scale/s.grown)
			return true
		}
	}
	return false
}

// fileSaid files what a sheet says, in pixels of the reader's picture.
func (s *search) fileSaid(t said, at *sheetAt, k float64) {
	n := float64(at.n)
	corners := [4]Point{at.pixel(0, 0), at.pixel(n, 0), at.pixel(n, n), at.pixel(0, n)}
	if t.mirrored {
		corners[1], corners[3] = corners[3], corners[1]
	}
	for i := range corners {
		corners[i] = corners[i].by(k)
	}
	s.foreign(t.text, corners)
}

// inverted returns the plane with light and dark exchanged.
func (p *plane) inverted() *plane {
	q := &plane{p.w, p.h, make([]uint8, len(p.pix))}
	for i, v := range p.pix {
		q.pix[i] = 255 - v
	}
	return q
}

// foreign files a symbol that need not be one of ours. One that says a code
// without being registered as ours is kept for the end: the passes that know
// what soaktag prints come first.
func (r *reader) foreign(text string, corners [4]Point) {
	f := Found{Text: text, How: Decoded, Corners: corners, stranger: true}
	if _, ours := codeOf(text); ours {
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
