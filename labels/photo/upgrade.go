package photo

// Once the list has told what a symbol must say, all its modules are known, not
// only those of the function patterns: they place it better, and often it then
// decodes by its own check words, which needs nobody's confirmation.

// marksOf returns the template of a whole symbol and the ring about it.
func marksOf(s *softness) []mark {
	var marks []mark
	for y := -1; y <= size; y++ {
		for x := -1; x <= size; x++ {
			sign := -1
			if x >= 0 && y >= 0 && x < size && y < size {
				sign = int(s[y][x])
			}
			cx, cy := float64(x)+0.5, float64(y)+0.5
			marks = append(marks, mark{cx, cy, bow(cx), bow(cy), sign})
		}
	}
	return marks
}

// upgrade places the symbol by the words of a match and decodes it again. It
// returns false unless it then says the matched text by itself.
func (r *reader) upgrade(f fit, m match) bool {
	l := r.light[f.level]
	marks := marksOf(symbolOf(r.list.entries[m.entry].words, m.mask))
	agreement := func(p pose) (known, all float64) {
		w, ok := p.warp()
		if !ok {
			return -2, -2
		}
		all = l.contrast.sum(&w, marks) / float64(len(marks))
		return all, all
	}
	at := f.scaled(1 / l.scale)
	_, best := agreement(at)
	for step := 0.5; step > 0.04; step *= 0.6 {
		at, best = nudge(agreement, at, best, step*at.module())
	}
	g, ok := r.light.fitted(f.level, at, f.known)
	if !ok {
		return false
	}
	samplings := []*sampling{g.fine, g.rough}
	for _, k := range g.fine.ranked(sharpest) {
		samplings = append(samplings, g.fine.sharpened(k, fullRounds))
	}
	for _, s := range samplings {
		for _, rule := range rules {
			if d, ok := rule(s).decode(); ok && d.text == r.list.entries[m.entry].text {
				return r.fileDecoded(g, d)
			}
		}
	}
	return false
}

// sharpest is how many blurs are undone to confirm a match.
const sharpest = 2
