package report

import (
	"cmp"
	"html/template"
	"slices"
	"strings"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A form is the measures of one drawing of a figure.
type form struct {
	class         string
	width         float64
	left, right   float64 // where the axis begins and ends
	note          float64 // where the words at the row's end begin
	sub           float64 // height of one group
	letter, small float64 // sizes of letters
	r             float64 // of a mark
	above         bool    // the adhesive stands above its rows, not before them
	keys          float64 // room for keys, with the names beside them; 0: names below
	ticks         int
	reasons       bool // the figure says why some are not comparable
}

func wideForm() form {
	return form{class: "fig wide", width: 960, left: 268, right: 722, note: 792, sub: 33, letter: 15, small: 13, r: 5, ticks: 10}
}

func narrowForm() form {
	return form{class: "fig narrow", width: 360, left: 60, right: 208, note: 274, sub: 34, letter: 14, small: 12.5, r: 4.5, above: true, ticks: 5}
}

// A dotplot draws every specimen as a mark, one row an adhesive.
type dotplot struct {
	canvas
	form
	s     *source
	order order
	scale scale
	y     float64
}

// dots draws the figure in one form.
func (s *source) dots(o order, f form, id string) template.HTML {
	p := &dotplot{form: f, s: s, order: o}
	p.w = f.width
	if f.above && s.longLabels() {
		p.left += 24
	}
	p.scale = scale{p.left, p.right, s.topStress()}
	p.y = f.small * (2.05 + 1.35*float64(max(1, len(s.yardsticks()))))
	head := p.y
	apart := false
	for _, r := range o.Rows {
		if len(r.Why) > 0 && !apart {
			apart = true
			p.divide()
		}
		p.row(r)
	}
	bottom := p.y + 4
	rows := p.b.String()
	p.b.Reset()
	p.axis(head, bottom)
	p.woodLines(head, bottom)
	p.heads(p.small * 1.15)
	p.b.WriteString(rows)
	p.h = bottom + f.small*3.6
	return p.finish(id, f.class, "Shear strength of every specimen, by adhesive and treatment", s.dotsInWords(o))
}

// longLabels reports whether rows are called more than dry or soaked.
func (s *source) longLabels() bool {
	return slices.ContainsFunc(s.results.Groups, func(g strength.Group) bool { return len(s.condition(g)) > 7 })
}

// topStress is the end of the axis: past every mark and the wood's own
// strength, and past the intervals unless one is so wide that it would press
// all marks together.
func (s *source) topStress() float64 {
	marks, ends := leastTop, 0.0
	for _, g := range s.results.Groups {
		for _, sp := range g.Members {
			if exact(sp.ShearMPa) != "" {
				marks = max(marks, *sp.ShearMPa)
			}
		}
		if e := estimateOf(g); exact(e.High) != "" {
			ends = max(ends, *e.High)
		}
	}
	for _, y := range s.yardsticks() {
		marks = max(marks, y.value)
	}
	marks = min(marks, mostTop)
	return min(max(marks*1.04, ends*1.01), marks*1.25)
}

// The ends that an axis may have, in MPa: what lies beyond is no strength of
// any bond, and stands at the edge.
const leastTop, mostTop = 0.1, 1e6

// axis draws the shared axis with its zero, and faint lines at round values.
func (p *dotplot) axis(top, bottom float64) {
	u := p.s.units()
	shown := scale{p.scale.from, p.scale.to, u.of(p.scale.top)}
	values, decimals := shown.labelled(p.ticks, p.small)
	for _, v := range values {
		class := "grid"
		if v == 0 {
			class = "zero"
		}
		x := shown.at(v)
		p.line(class, x, top, x, bottom)
		p.text("mid soft", x, bottom+p.small*1.25, p.small, fixed(v, decimals))
	}
	p.text("soft", p.left, bottom+p.small*2.7, p.small, "shear strength, "+u.StressUnit())
}

// woodLines draws the wood's own strength where it is known, and between the
// published ones a band.
func (p *dotplot) woodLines(top, bottom float64) {
	u, lines := p.s.units(), p.s.yardsticks()
	if len(p.s.solidKeys()) == 0 && len(lines) == 2 {
		green, dry := p.scale.at(lines[0].value), p.scale.at(lines[1].value)
		p.rect("woodband", min(green, dry), top-4, max(dry-green, green-dry), bottom-top+4)
	}
	for i, line := range lines {
		x := p.scale.at(line.value)
		p.line("woodline", x, top-4, x, bottom)
		class, label := "mid wood", line.name+" "+u.aboutNumber(line.value)
		half := letters([]rune(label)) * p.small * letterWidth / 2
		switch {
		case x > p.right-p.small*4:
			class = "end wood" // the columns of words begin there
		case x < half:
			x = half
		}
		p.text(class, x, top-p.small*(0.9+1.35*float64(len(lines)-1-i)), p.small, label)
	}
}

// divide sets apart what cannot be compared, and says under which treatment;
// where nothing else on the page says why, it does.
func (p *dotplot) divide() {
	text := p.order.Treatment + ": not comparable with the others"
	if p.reasons {
		text += ": " + strings.Join(p.s.reasonsApart(p.order), "; ")
	}
	p.y += p.small * 1.2
	p.line("rule", 0, p.y-p.small*1.1, p.width, p.y-p.small*1.1)
	for i, line := range folded(text, p.small*bold, p.width, 3) {
		if i > 0 {
			p.y += p.small * 1.25
		}
		p.text("strong", 0, p.y+p.small*0.4, p.small, line)
	}
	p.y += p.small * 1.2
}

// reasonsApart says shortly why each of those set apart is.
func (s *source) reasonsApart(o order) (out []string) {
	for _, r := range o.Rows {
		if len(r.Why) == 0 {
			continue
		}
		var why []string
		for _, reason := range r.Why {
			why = append(why, wording.ReasonAbout(reason, strength.Party{Adhesive: r.Key, Treatment: o.Treatment}))
		}
		out = append(out, r.Key+", "+strings.Join(why, ", "))
	}
	return out
}

// row draws one adhesive with all its groups.
func (p *dotplot) row(r row) {
	if p.above {
		p.heading(r)
	}
	top := p.y
	for _, i := range r.Groups {
		height := p.height(i)
		p.group(i, p.y+height/2)
		p.y += height
		for _, line := range p.below(i) {
			p.text("over-lines", p.left, p.y+p.small*0.8, p.small, line)
			p.y += p.small * 1.25
		}
	}
	if !p.above {
		if p.keys == 0 {
			p.y = max(p.y, top+p.letter*1.15+p.small*1.5) // room for a name below its key
		}
		p.name(r, top)
	}
	p.y += 8
	p.line("hair", 0, p.y-3, p.width, p.y-3)
}

// heading writes key and name above the rows, on one line if they fit.
func (p *dotplot) heading(r row) {
	whole := strings.TrimSpace(r.Key + "  " + r.named())
	p.y += p.letter
	if fits(whole, p.letter*bold, p.width) == whole {
		p.text("strong", 0, p.y, p.letter, whole)
	} else {
		p.text("strong", 0, p.y, p.letter, fits(r.Key, p.letter*bold, p.width))
		p.named(r.named(), folded(r.named(), p.small, p.width, 3), func(line string) {
			p.y += p.small * 1.25
			p.text("soft over-lines", 0, p.y, p.small, line)
		})
	}
	p.y += 11
}

// named is an adhesive's name; empty where it says no more than the key.
func (r row) named() string {
	if r.Name == r.Key {
		return ""
	}
	return r.Name
}

// keyGap parts a key from the name beside it.
const keyGap = 16

// name writes key and name before the rows, the name in as many lines as the
// rows are high.
func (p *dotplot) name(r row, top float64) {
	y, x := top+p.letter*1.15, p.keys
	room := p.left - p.small*7.6 - x
	key := room
	if x > 0 {
		y, key = top+min(p.letter*1.15, p.sub/2+p.letter*0.35), x-keyGap
	}
	p.named(r.Key, []string{fits(r.Key, p.letter*bold, key)}, func(line string) { p.text("strong", 0, y, p.letter, line) })
	if x > 0 {
		y -= p.small * 1.25
	}
	lines := (p.y + p.small*0.2 - y) / (p.small * 1.25)
	p.named(r.named(), folded(r.named(), p.small, room, max(1, int(lines))), func(line string) {
		y += p.small * 1.25
		p.text("soft", x, y, p.small, line)
	})
}

// group draws one group's label, marks, interval and the words at its end.
func (p *dotplot) group(i int, y float64) {
	g := p.s.results.Groups[i]
	label := p.s.condition(g)
	if p.above {
		p.stack("", 0, y, folded(label, p.small, p.left-p.clear(), p.lines()))
	} else {
		p.stack("end", p.left-p.clear(), y, folded(label, p.small, p.small*6.4, p.lines()))
	}
	p.interval(g, y+p.sub*0.31)
	p.marks(g, g.Members, y-p.sub*0.02)
	p.words(i, y)
}

// counted is n of a group, beside its estimate.
func (s *source) counted(i int) string {
	return countWords(s.results.Groups[i])
}

// clear is how far a label ends before the axis, so that it stays free of a
// cross at zero.
func (p *dotplot) clear() float64 { return p.r*1.5 + 9 }

// notYet counts the specimens of a kind that were not broken yet.
func (s *source) notYet(adhesive, treatment string) (n int) {
	for _, sp := range s.results.Specimens {
		if sp.Adhesive == adhesive && sp.Treatment == treatment && sp.Outcome == strength.NoneYet {
			n++
		}
	}
	return n
}

// interval draws the 95 % limits thin, with a tick at the mean. Where it is a
// bound from below an arrow stands for the upper limit.
func (p *dotplot) interval(g strength.Group, y float64) {
	e := estimateOf(g)
	if e.Value == nil {
		return
	}
	x := p.scale.at(*e.Value)
	p.line("tick", x, y-5, x, y+5)
	if e.Low == nil || e.High == nil {
		return
	}
	low, high := p.scale.at(*e.Low), p.scale.at(*e.High)
	if e.Bound == stat.AtLeast {
		p.line("limit", low, y, x, y)
		p.arrow("limit", x, y, 26)
		return
	}
	p.line("limit", low, y, high, y)
	if *e.High > p.scale.top {
		p.path("limit", high-5, y-4, high, y, high-5, y+4)
	}
}

// arrow draws a line to the right with a head.
func (p *dotplot) arrow(class string, x, y, length float64) {
	end := min(x+length, p.right+24)
	p.path(class, x, y, end, y, end-4, y-3, end, y, end-4, y+3)
}

// towards draws from a mark to where the truth of its bound may lie.
func (p *dotplot) towards(class string, bound stat.Bound, x, y, r float64) {
	if bound.MayBeMore() {
		p.arrow(class, x+r, y, 10)
	}
	if bound.MayBeLess() {
		p.path(class, x-r, y, x-r-10, y, x-r-6, y-3, x-r-10, y, x-r-6, y+3)
	}
}

// mostMarks is how many marks of one group are drawn; of more, every k-th in
// order of strength.
const mostMarks = 120

// thinned takes at most as many members as can be told apart by eye, spread
// evenly over the order of their strengths.
func thinned(members []strength.Specimen) []strength.Specimen {
	known := slices.DeleteFunc(slices.Clone(members), func(sp strength.Specimen) bool { return sp.ShearMPa == nil })
	slices.SortStableFunc(known, func(a, b strength.Specimen) int { return cmp.Compare(*a.ShearMPa, *b.ShearMPa) })
	if len(known) <= mostMarks {
		return known
	}
	out := make([]strength.Specimen, 0, mostMarks)
	for i := range mostMarks {
		out = append(out, known[i*(len(known)-1)/(mostMarks-1)])
	}
	return out
}

// marks draws the members side by side where they would cover one another.
func (p *dotplot) marks(g strength.Group, members []strength.Specimen, y float64) {
	r := p.r
	some := thinned(members)
	if len(some) > 20 {
		r *= 0.7
	}
	soaked := "dry"
	if p.s.soaked(g.Treatment) {
		soaked = "wet"
	}
	var lanes [5]float64 // end of what lies in each
	for i := range lanes {
		lanes[i] = -1e9
	}
	for _, sp := range some {
		x := p.scale.at(*sp.ShearMPa)
		lane := max(0, slices.IndexFunc(lanes[:], func(end float64) bool { return x-r >= end }))
		lanes[lane] = x + r
		if sp.Bound.MayBeMore() {
			lanes[lane] = x + r + 12
		}
		p.mark(soaked, sp, x, y-[...]float64{0, 2.1, 1.05, 3.1, 0.5}[lane]*r, r)
	}
}

// mark draws one specimen: its shape says how it ended.
func (p *dotplot) mark(class string, sp strength.Specimen, x, y, r float64) {
	switch {
	case sp.Bound == stat.Zero:
		p.path("cross "+class, x-r, y-r, x+r, y+r)
		p.path("cross "+class, x-r, y+r, x+r, y-r)
	case sp.Outcome == strength.WoodLimited:
		p.towards("hollow "+class, sp.Bound, x, y, r)
		p.circle("hollow "+class, x, y, r)
	case sp.Bound.Censored():
		p.towards("hollow "+class, sp.Bound, x, y, r)
		p.rect("hollow "+class, x-r, y-r, 2*r, 2*r)
	default:
		p.circle("full "+class, x, y, r)
	}
}

func (s *source) soaked(treatment string) bool {
	t := s.study.Treatment(treatment)
	return t != nil && t.Soaked
}
