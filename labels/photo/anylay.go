package photo

import (
	"math"
	"slices"
)

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
	at = refined(all, at, sh.module(at), 0.6, 0.06)
	timing, _ := sh.agreement(c, sh.timing)(at)
	if known, _ := all(at); timing < leastTiming || known < leastSheet {
		return laid{}, false
	}
	at = centred(sh.broad(c), at, sh.module(at))
	known, _ := all(at)
	return laid{sh, at, i, timing, known}, true
}

// broad is the agreement with modules that are averaged over four places each.
func (s *sheet) broad(c *contrast) agreeing {
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
func (s *sheet) agreement(c *contrast, marks []mark) agreeing {
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

// readLaid reads a sheet as it lies, then bowed, then as a net lays it. Bowing
// and laying nets takes long, so that only so many modules are.
func (s *search) readLaid(l laid) bool {
	if s.readPose(l, l.pose, false) {
		return true
	}
	if s.bowed += len(l.marks) + len(l.text); s.bowed > mostBowed {
		return false
	}
	if bowed, ok := l.bow(s.light[l.level].contrast); ok && (s.readPose(l, bowed, false) || s.readPose(l, bowed, true)) {
		return true
	}
	return s.readPose(l, l.pose, true)
}

func (s *search) readPose(l laid, p pose, netted bool) bool {
	at, ok := l.sheet.at(p)
	if ok && netted {
		at.layNet(s.light[l.level].contrast, l.sheet.module(p))
	}
	return ok && s.readAt(l, &at)
}

// bow lets the sheet be bowed about either axis.
func (l laid) bow(c *contrast) (pose, bool) {
	all := l.agreement(c, l.marks)
	p := bent(all, l.pose, l.sheet.module(l.pose), 1.6)
	known, _ := all(p)
	return p, known > l.known
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
	s.unregistered(t.text, corners, t.levelH && !t.mirrored && !s.turned)
}
