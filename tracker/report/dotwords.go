package report

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// words stand at the row's end: mean, n, and what is not a plain break.
func (p *dotplot) words(i int, y float64) {
	p.text("end", p.note, y+p.small*0.35, p.small, p.s.valueOf(i))
	p.stack("", p.note+p.small*0.8, y, p.counts(i))
}

// height is that of a group: more than others' where its words need it.
func (p *dotplot) height(i int) float64 {
	return max(p.sub, float64(len(p.counts(i)))*p.small*1.1+4)
}

// counts are the lines beside a row: n, and what is not a plain break unless that
// stands below.
func (p *dotplot) counts(i int) []string {
	parts := p.parts(i)
	if len(p.below(i)) > 0 {
		parts = parts[:1]
	}
	return p.beside(parts)
}

func (p *dotplot) beside(parts []string) []string {
	return folded(strings.Join(parts, ", "), p.small, p.width-p.note-p.small*0.8, mostLines)
}

// below are the lines under a row of a narrow figure, where the column beside it
// would break them at every word.
func (p *dotplot) below(i int) []string {
	parts := p.parts(i)
	if !p.above || len(p.beside(parts)) < 3 {
		return nil
	}
	return folded(strings.Join(parts[1:], ", "), p.small, p.width-p.left, mostLines)
}

// parts are n and what is not a plain break.
func (p *dotplot) parts(i int) []string {
	g := p.s.results.Groups[i]
	parts := []string{p.s.counted(i)}
	switch {
	case g.AllApart() && g.N > 1:
		parts = []string{fellApartWords(g)}
	case g.AllApart():
		parts = append(parts, fellApartWords(g))
	case g.FellApart > 0 && g.Mean != nil && g.MeanSurvivors != nil:
		parts = append(parts, fmt.Sprintf("%d fell apart, as 0: %s%s", g.FellApart, sign(g.Estimate().Bound), p.s.units().stress(g.Mean).Shown))
	case g.FellApart > 0:
		parts = append(parts, fmt.Sprintf("%d fell apart", g.FellApart))
	case g.N > 1 && estimateOf(g).Value == nil && g.AtLeast > 0:
		parts = append(parts, "no bond broke")
	}
	inRow := wording.InRow
	if p.above {
		inRow = wording.InNarrowRow
	}
	if alone := inRow(g, p.s.study.Units); alone != "" {
		parts = append(parts, alone)
	}
	if gone := lost(g.Members); gone != "" {
		parts = append(parts, gone)
	}
	if more := p.s.notYet(g.Adhesive, g.Treatment); more > 0 {
		parts = append(parts, fmt.Sprintf("%d not broken", more))
	}
	return parts
}

// mostLines is how many lines the words of a group may have.
const mostLines = 5

// lines is how many lines of small text a row is high.
func (p *dotplot) lines() int { return max(1, int((p.sub+2)/(p.small*1.1))) }

// stack writes lines one below the other, around y.
func (p *dotplot) stack(class string, x, y float64, lines []string) {
	for k, line := range lines {
		p.text(class, x, y+p.small*(0.35+1.1*(float64(k)-float64(len(lines)-1)/2)), p.small, line)
	}
}

// valueOf is a group's mean or, of a single specimen, its own value.
func (s *source) valueOf(i int) string {
	g := s.results.Groups[i]
	members := g.Members
	if g.N != 1 || len(members) != 1 || members[0].ShearMPa == nil {
		return s.units().shown(g)
	}
	if members[0].Bound == stat.Zero {
		return ""
	}
	return sign(members[0].Bound) + s.units().stress(members[0].ShearMPa).Shown
}

// heads stand above the words.
func (p *dotplot) heads(y float64) {
	p.text("end soft", p.note, y, p.small, p.s.head()+", "+p.s.units().StressUnit())
	p.text("soft", p.note+p.small*0.8, y, p.small, "n")
}

// head names what the column of numbers holds.
func (s *source) head() string {
	if slices.ContainsFunc(s.results.Groups, func(g strength.Group) bool { return estimateOf(g).Value != nil }) {
		return "mean"
	}
	return "strength" // of single specimens
}

// dotsInWords is the figure for who hears it.
func (s *source) dotsInWords(o order) string {
	var lines []string
	for _, r := range s.all(o) {
		for _, i := range r.Groups {
			lines = append(lines, s.groupInWords(i))
		}
	}
	if s.wood != nil {
		lines = append(lines, s.wood.Species+" itself: "+s.published())
	}
	return strings.Join(lines, ". ") + "."
}

func (s *source) groupInWords(i int) string {
	g, u := s.results.Groups[i], s.units()
	line := fmt.Sprintf("%s %s, n %s", s.kind(g.Adhesive), s.condition(g), s.counted(i))
	if g.AllApart() {
		return line + ", " + fellApartWords(g)
	}
	if shown := u.shown(g); shown != "" {
		line += ", mean " + shown + " " + u.StressUnit()
		if l := u.limits(g).text(); l != "" {
			line += " (" + l + ")"
		}
	}
	if alone := wording.InRow(g, s.study.Units); alone != "" {
		line += ", " + alone
	}
	var marks []string
	for _, sp := range g.Members {
		marks = append(marks, u.valueInWords(sp))
	}
	if len(marks) > 24 {
		if s.solid(g.Adhesive) {
			g = asWood(g)
		}
		return line + ", " + wording.Ends(g)
	}
	return line + ": " + strings.Join(marks, ", ")
}

// valueInWords is one mark in words.
func (u units) valueInWords(sp strength.Specimen) string {
	value := u.stress(sp.ShearMPa).Shown
	switch {
	case sp.Bound == stat.Exact:
		return value
	case sp.Bound.Measured():
		return phrase(sp.Bound) + value + " (" + string(sp.Outcome) + ")"
	}
	return string(sp.Outcome)
}
