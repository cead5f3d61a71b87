package report

import (
	"fmt"
	"html/template"
	"strings"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// A retentionRow is one retention in the table: the numbers where they may be
// compared, else the reasons.
type retentionRow struct {
	R                     strength.Retention
	Adhesive              string // as the page calls it
	Sign                  string
	Ratio, Paired         number
	Limits, Pair, Fieller limits
	FiellerShape          string
	Reasons               string
	Stands                bool   // the numbers may be shown
	Gone                  string // instead of numbers, where all fell apart
	Of                    string // of what part of the specimens it is, where not of all
}

func newRetention(r strength.Retention) retentionRow {
	row := retentionRow{R: r, Sign: share(r.Bound), Ratio: percent(r.Ratio), Paired: percent(r.PairedRatio),
		Limits: ofRatio(r.Low, r.High, percent).towards(r.Bound), Pair: ofRatio(r.PairedLow, r.PairedHigh, percent).towards(r.Bound),
		Reasons: reasonsText(r.Reasons)}
	row.Stands = r.Comparable && r.Ratio != nil || r.ZerosFirst()
	if row.Fieller = limitsOf(r.FiellerLow, r.FiellerHigh, percent); row.Fieller.text() == "" {
		row.FiellerShape = string(r.FiellerShape)
	}
	row.Fieller = row.Fieller.unlessWide(r.FiellerLow, r.FiellerHigh, 1).towards(r.Bound)
	if !row.Stands && row.Reasons == "" {
		row.Reasons = "no number follows from these specimens"
	}
	return row
}

// retention is a row; where all fell apart it says so, and of how many.
func (s *source) retention(r strength.Retention) retentionRow {
	row := newRetention(r)
	row.Adhesive, row.Of = s.kind(r.Adhesive), s.survivorsNote(r)
	if r.ZerosFirst() {
		row.Ratio, row.Paired = percent(r.RatioWithZeros), number{}
		row.Limits, row.Pair, row.Fieller, row.FiellerShape = limits{}, limits{}, limits{}, ""
	}
	if g := s.largest(r.Adhesive, r.Treatment); g != nil && g.AllApart() {
		row.Stands, row.Gone = false, fellApartWords(*g)
	}
	return row
}

// retentions are those worth a row, in the order of the figures: with one
// specimen dry or wet nothing follows, and the boxes have said so.
func (s *source) retentions(o order) (rows []retentionRow) {
	for _, r := range s.all(o) {
		for _, ret := range s.results.Retention {
			if ret.Adhesive == r.Key && !s.alone(ret.Adhesive, ret.Treatment) {
				rows = append(rows, s.retention(ret))
			}
		}
	}
	return rows
}

// alone reports whether a kind came to one specimen in all.
func (s *source) alone(adhesive, treatment string) bool {
	n := 0
	for _, g := range s.results.Groups {
		if g.Adhesive == adhesive && g.Treatment == treatment {
			n += g.N
		}
	}
	return n == 1
}

func (s *source) addRetention(p *page, o order) {
	p.Retentions = s.retentions(o)
	if len(p.Retentions) == 0 {
		return
	}
	for _, r := range p.Retentions {
		p.Paired = p.Paired || r.Stands && r.R.Pairs > 0
		if r.Stands && (r.Limits.Cut || r.Pair.Cut || r.Fieller.Cut) {
			p.RetentionCut = belowZero
		}
		p.Fieller = p.Fieller || r.Stands && (r.Fieller.Wide || r.Fieller.text() != "" || r.FiellerShape != "")
	}
	narrow := narrowForm()
	narrow.left, narrow.right = 74, 244
	p.Retention = figure{s.drawRetention(p.Retentions, wideForm(), "kept-wide"), s.drawRetention(p.Retentions, narrow, "kept-narrow")}
	p.RetentionNote = s.woodKept()
}

// woodKept gives the wood's own retention as a yardstick.
func (s *source) woodKept() string {
	kept := s.wood.Retention()
	if kept == 0 {
		return ""
	}
	return fmt.Sprintf("Dashed line: %s itself keeps %s %% of its shear strength when it is green, that is, wet through. A bond that keeps that much and tears the wood may have lost nothing of its own. %s.",
		s.wood.Species, fixed(100*kept, 0), s.wood.Source)
}

// A keptPlot draws what was kept, in percent of the dry control.
type keptPlot struct {
	canvas
	form
	scale scale
	y     float64
}

func (s *source) drawRetention(rows []retentionRow, f form, id string) template.HTML {
	p := &keptPlot{form: f}
	p.w = f.width
	p.scale = scale{f.left, f.right, topKept(rows)}
	p.y = f.small * 2.2
	head := p.y
	several := s.severalTreated()
	for _, r := range rows {
		p.row(r, several)
	}
	drawn := p.b.String()
	p.b.Reset()
	p.axis(head, s.wood.Retention())
	p.b.WriteString(drawn)
	p.h = p.y + 4 + p.small*3.6
	return p.finish(id, f.class, "Strength kept after soaking, by adhesive", keptInWords(rows))
}

// axis draws the shared axis, and what the wood itself keeps.
func (p *keptPlot) axis(head, kept float64) {
	values, _ := p.scale.ticks(p.ticks)
	for _, v := range values {
		class := "grid"
		if v == 0 || v == 1 {
			class = "zero"
		}
		x := p.scale.at(v)
		p.line(class, x, head, x, p.y+4)
		p.text("mid soft", x, p.y+4+p.small*1.25, p.small, fixed(100*v, 0))
	}
	p.text("soft", p.left, p.y+4+p.small*2.7, p.small, "% of the dry control's strength")
	if kept > 0 {
		x := p.scale.at(kept)
		p.line("woodline", x, head-4, x, p.y+4)
		p.text("mid wood", x, head-8, p.small, "the wood itself "+fixed(100*kept, 0)+" %")
	}
}

func topKept(rows []retentionRow) float64 {
	top := 1.0
	for _, r := range rows {
		for _, x := range []*float64{r.R.Ratio, r.R.High} {
			if r.Stands && exact(x) != "" {
				top = max(top, min(*x, 3)*1.02)
			}
		}
	}
	return top
}

func (s *source) severalTreated() bool {
	n := 0
	for _, t := range s.study.Treatments {
		if !t.Control {
			n++
		}
	}
	return n > 1
}

func (p *keptPlot) row(r retentionRow, several bool) {
	name := r.Adhesive
	if several {
		name += " " + r.R.Treatment
	}
	if p.above {
		p.y += p.letter
		p.named(name, []string{fits(name, p.letter*bold, p.width)}, func(line string) { p.text("strong", 0, p.y, p.letter, line) })
		p.y += 3
	} else {
		p.named(name, []string{fits(name, p.letter*bold, p.left-100)}, func(line string) { p.text("strong", 0, p.y+p.sub*0.45, p.letter, line) })
	}
	switch {
	case !r.Stands:
		p.reasons(r)
	case r.R.ZerosFirst():
		p.estimate("with zeros", r.R.RatioWithZeros, nil, nil, r)
		p.estimate("that held", r.R.Ratio, r.R.Low, r.R.High, r)
		p.survivors(r)
	default:
		p.estimate("means", r.R.Ratio, r.R.Low, r.R.High, r)
		if r.R.PairedRatio != nil {
			p.estimate("by board", r.R.PairedRatio, r.R.PairedLow, r.R.PairedHigh, r)
		}
		p.survivors(r)
	}
	p.y += 8
	p.line("hair", 0, p.y-4, p.width, p.y-4)
}

// survivors says below the numbers that they are not those of all.
func (p *keptPlot) survivors(r retentionRow) {
	x := p.left + 4
	if p.above {
		x = 0
	}
	for _, line := range folded(r.Of, p.small, p.width-x, 3) {
		p.y += p.small * 1.35
		p.text("soft over-lines", x, p.y, p.small, line)
	}
	if r.Of != "" {
		p.y += 4
	}
}

// reasons stand where a number would.
func (p *keptPlot) reasons(r retentionRow) {
	text := "not comparable: " + r.Reasons
	if r.Gone != "" {
		text = "0 %: " + r.Gone
	}
	x, room := p.left+4, p.width-p.left-8
	if p.above {
		x, room = 0, p.width
	}
	lines := folded(text, p.small*bold, room, 6)
	p.rect("blank", x, p.y+p.small*0.2, room, float64(len(lines))*p.small*1.35+2)
	for _, line := range lines {
		p.y += p.small * 1.35
		p.text("over", x, p.y, p.small, line)
	}
	p.y += 4
}

func (p *keptPlot) estimate(label string, value, low, high *float64, r retentionRow) {
	height := p.sub * 0.8
	y := p.y + height/2
	p.y += height
	if p.above {
		p.text("", 0, y+p.small*0.35, p.small, fits(label, p.small, p.left-4))
	} else {
		p.text("end", p.left-14, y+p.small*0.35, p.small, label)
	}
	x := p.scale.at(*value)
	if low != nil && high != nil {
		p.limits(r.R.Bound, x, p.scale.at(*low), p.scale.at(*high), y+8)
		p.line("tick", x, y+4, x, y+12)
	}
	p.bound(r.R.Bound, x, y-2)
	words := sign(r.R.Bound) + percent(value).Shown + " %"
	p.text("", p.right+28, y+p.small*0.35, p.small, fits(words, p.small, p.width-p.right-28))
}

// limits draws the limits on the side on which the truth may lie.
func (p *keptPlot) limits(bound stat.Bound, x, low, high, y float64) {
	if bound.MayBeMore() {
		high = x
	}
	if bound.MayBeLess() {
		low = x
	}
	if bound == stat.Either {
		return
	}
	p.line("limit", low, y, high, y)
}

// bound marks an estimate by its bound: filled for a value, hollow with an
// arrow for a bound, hollow with two for neither.
func (p *keptPlot) bound(bound stat.Bound, x, y float64) {
	r := p.r
	if !bound.Censored() {
		p.closed("full wet", x, y-r-1, x+r+1, y, x, y+r+1, x-r-1, y)
		return
	}
	if bound.MayBeMore() {
		p.path("hollow wet", x+r, y, x+r+11, y, x+r+7, y-3, x+r+11, y, x+r+7, y+3)
	}
	if bound.MayBeLess() {
		p.path("hollow wet", x-r, y, x-r-11, y, x-r-7, y-3, x-r-11, y, x-r-7, y+3)
	}
	p.closed("hollow wet", x, y-r-1, x+r+1, y, x, y+r+1, x-r-1, y)
}

func keptInWords(rows []retentionRow) string {
	var lines []string
	for _, r := range rows {
		who := r.Adhesive + " " + r.R.Treatment
		switch {
		case r.Gone != "":
			lines = append(lines, who+": 0 %, "+r.Gone)
		case !r.Stands:
			lines = append(lines, who+": not comparable, "+r.Reasons)
		default:
			line := fmt.Sprintf("%s: %s%s %%", who, r.Sign, r.Ratio.Shown)
			if l := r.Limits.text(); l != "" {
				line += " (" + l + ")"
			}
			if r.Of != "" {
				line += ", " + r.Of
			}
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, ". ") + "."
}
