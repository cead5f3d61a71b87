package report

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A lifeFigure is the life lines of one adhesive, with their table.
type lifeFigure struct {
	ID       string
	Adhesive string
	Name     string
	Figure   figure
	Columns  []string
	Rows     []lifeRow
}

type lifeRow struct {
	Called string
	Cells  []lapseCell
}

// A lifeline is what is drawn of one specimen. Times count from its glue-up.
type lifeline struct {
	name    string
	plan    []bar
	first   []bar // by the first plan, where it was amended
	actual  []bar
	drifted []drifted
	words   []string
	broke   time.Duration // zero: not yet
	outcome strength.Outcome
}

type bar struct {
	kind     string // "clamp", "soak", "dry", "cure", "hold": the shape it is drawn in
	from, to time.Duration
	open     bool          // still running
	slack    time.Duration // to is known to this either way
}

type drifted struct {
	at      time.Duration
	verdict schedule.Verdict
}

// mostLives is how many specimens get a life line; of more, those that drifted
// come first.
const mostLives = 64

func (s *source) lifelines() (figures []lifeFigure, notes []string) {
	of, commonly := s.bySpecimen()
	chosen, notes := s.chosen(of, commonly)
	lines, span := s.linesOf(chosen, of, commonly)
	if span == 0 {
		return nil, nil
	}
	for k, a := range s.study.Adhesives {
		f := lifeFigure{ID: fmt.Sprintf("life-%d", k+1), Adhesive: s.kind(a.Key), Name: a.Name}
		var own []lifeline
		for i, life := range chosen {
			if life.Specimen.Adhesive == a.Key {
				own = append(own, lines[i])
				f.add(life, of, s.drift)
			}
		}
		if len(own) > 0 {
			f.Figure = figure{drawLives(own, span, wideLife(), f.ID+"-wide", f.Adhesive), drawLives(own, span, narrowLife(), f.ID+"-narrow", f.Adhesive)}
			figures = append(figures, f)
		}
	}
	return figures, notes
}

// linesOf works out the lines of some lives, and how long the longest is.
func (s *source) linesOf(lives []*tracker.Life, of map[lapseOf]tracker.SpecimenDrift, commonly map[string]schedule.Verdict) (lines []lifeline, span time.Duration) {
	results := outcomes(s.results)
	for _, life := range lives {
		l := s.lifeline(life, of, commonly)
		l.outcome = results[life.Specimen.Code.String()].Outcome
		l.first = amendedPlan(life)
		for _, b := range slices.Concat(l.plan, l.first, l.actual) {
			span = max(span, b.to)
		}
		lines = append(lines, l)
	}
	return lines, span
}

// chosen are the lives that are drawn: all that began or, of many, those that
// drifted first.
func (s *source) chosen(of map[lapseOf]tracker.SpecimenDrift, commonly map[string]schedule.Verdict) (lives []*tracker.Life, notes []string) {
	var strayed, plain []*tracker.Life
	for _, life := range s.lives {
		switch {
		case !slices.ContainsFunc(life.Lapses, func(l tracker.Lapse) bool { return l.Begun }):
		case astray(life, of, commonly):
			strayed = append(strayed, life)
		default:
			plain = append(plain, life)
		}
	}
	if len(strayed)+len(plain) <= mostLives {
		return slices.DeleteFunc(slices.Clone(s.lives), func(l *tracker.Life) bool {
			return !slices.Contains(strayed, l) && !slices.Contains(plain, l)
		}), nil
	}
	lives = append(strayed, plain...)[:mostLives]
	return lives, []string{fmt.Sprintf("%d of %d life lines are drawn, those that left the plan on their own first (%d did). The tables that export writes hold all of them.",
		mostLives, len(strayed)+len(plain), len(strayed))}
}

func astray(life *tracker.Life, of map[lapseOf]tracker.SpecimenDrift, commonly map[string]schedule.Verdict) bool {
	code := life.Specimen.Code.String()
	return slices.ContainsFunc(life.Lapses, func(l tracker.Lapse) bool {
		d, ok := of[lapseOf{code, l.Interval.Name}]
		return ok && strays(d, commonly[l.Interval.Name])
	})
}

// lifeline works out one life from its glue-up on.
func (s *source) lifeline(life *tracker.Life, of map[lapseOf]tracker.SpecimenDrift, commonly map[string]schedule.Verdict) lifeline {
	line := lifeline{name: lifeName(life.Specimen)}
	zero := began(life)
	planned := map[schedule.Stage]time.Duration{schedule.GlueUp: 0}
	for _, l := range life.Lapses {
		d, known := of[lapseOf{life.Specimen.Code.String(), l.Interval.Name}]
		if start, ok := planned[l.Interval.From]; ok && !sumsUp(life, l) {
			length, drawn := plannedLength(l, d, known)
			planned[l.Interval.To] = start + length
			if drawn && drawable(life, l) {
				line.plan = append(line.plan, bar{kind: kindOf(l.Interval), from: start, to: start + length})
			}
		}
		if known && drawable(life, l) {
			line.actual = append(line.actual, s.bars(life, l, zero)...)
		}
		if known {
			line.take(l, d, commonly[l.Interval.Name], zero, s.o.now())
		}
	}
	slices.SortStableFunc(line.actual, func(a, b bar) int { return cmp.Compare(a.from, b.from) })
	return line
}

// take adds how an interval left its limits, and when the specimen broke.
func (line *lifeline) take(l tracker.Lapse, d tracker.SpecimenDrift, commonly schedule.Verdict, zero, now time.Time) {
	if d.Verdict.Outside() || d.Verdict == schedule.CannotTell {
		at := now
		if l.Done {
			at = l.To.Mid()
		}
		line.drifted = append(line.drifted, drifted{at.Sub(zero), d.Verdict})
	}
	if strays(d, commonly) {
		line.words = append(line.words, l.Interval.Name+" "+verdictWords(d))
	}
	if l.Done && l.Interval.To == schedule.Break {
		line.broke = l.To.Mid().Sub(zero)
	}
}

func lifeName(sp tracker.Specimen) string {
	if sp.Name != "" {
		return sp.Name
	}
	return sp.Code.String()
}

// began is the glue-up, else the first thing known.
func began(life *tracker.Life) time.Time {
	for _, step := range life.Steps {
		if step.Stage == schedule.GlueUp {
			return step.At.Mid()
		}
	}
	if len(life.Steps) > 0 {
		return life.Steps[0].At.Mid()
	}
	return time.Time{}
}

// plannedLength is how long an interval should last; a limit from above is
// not drawn, for it may be nothing.
func plannedLength(l tracker.Lapse, d tracker.SpecimenDrift, known bool) (length time.Duration, drawn bool) {
	switch p := l.Interval.Planned; p.Kind {
	case schedule.Target, schedule.AtLeast:
		return p.Length, true
	case schedule.AsPartner:
		if known && d.Known {
			return middle(d.Lo, d.Hi) - d.Drift, true
		}
	}
	return 0, false
}

func (s *source) bar(kind string, from, to schedule.Span, zero time.Time) bar {
	b := bar{kind: kind, from: from.Mid().Sub(zero)}
	if to.IsZero() {
		b.to, b.open = max(b.from, s.o.now().Sub(zero)), true
		return b
	}
	b.to = to.Mid().Sub(zero)
	if !to.From.IsZero() && !to.To.IsZero() {
		b.slack = to.To.Sub(to.From) / 2
	}
	return b
}

// add puts one life into the table under its figure.
func (f *lifeFigure) add(life *tracker.Life, of map[lapseOf]tracker.SpecimenDrift, drift []tracker.IntervalDrift) {
	if f.Columns == nil {
		for _, d := range drift {
			f.Columns = append(f.Columns, d.Interval)
		}
	}
	row := lifeRow{Called: lifeName(life.Specimen)}
	for _, name := range f.Columns {
		cell := lapseCell{}
		if d, ok := of[lapseOf{life.Specimen.Code.String(), name}]; ok {
			cell = newLapseCell(d)
		}
		row.Cells = append(row.Cells, cell)
	}
	f.Rows = append(f.Rows, row)
}

func wideLife() form {
	return form{class: "fig wide", width: 960, left: 104, right: 690, note: 712, sub: 24, letter: 14, small: 13, ticks: 12}
}

func narrowLife() form {
	return form{class: "fig narrow", width: 360, left: 84, right: 344, note: 0, sub: 24, letter: 13, small: 12, above: true, ticks: 6}
}

// A lifePlot draws planned against actual times.
type lifePlot struct {
	canvas
	form
	scale scale
	y     float64
	hatch string
}

func drawLives(lines []lifeline, span time.Duration, f form, id, adhesive string) template.HTML {
	p := &lifePlot{form: f, y: 4, hatch: id + "-w"}
	p.w = f.width
	p.scale = scale{f.left, f.right, days(span)}
	for _, l := range lines {
		p.line0(l)
	}
	drawn := p.b.String()
	p.b.Reset()
	fmt.Fprintf(&p.b, `<defs><pattern id="%s" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M0 3L6 3"/></pattern></defs>`, p.hatch)
	values, decimals := p.scale.ticks(p.ticks)
	for _, v := range values {
		x := p.scale.at(v)
		p.line("grid", x, 0, x, p.y)
		p.text("mid soft", x, p.y+p.small*1.2, p.small, fixed(v, decimals))
	}
	p.text("soft", p.left, p.y+p.small*2.5, p.small, "days since glue-up")
	p.b.WriteString(drawn)
	p.h = p.y + p.small*3
	return p.finish(id, f.class, "Life lines of "+adhesive+": planned above, actual below", livesInWords(lines))
}

func days(d time.Duration) float64 { return d.Hours() / 24 }

func (p *lifePlot) at(d time.Duration) float64 { return p.scale.at(days(d)) }

// line0 draws one specimen: the plan as a thin frame, below it what happened.
func (p *lifePlot) line0(l lifeline) {
	words := strings.Join(l.words, "; ")
	var folds []string
	if words != "" && p.above {
		folds = folded(words, p.small*bold, p.width-16, 3)
	} else if words != "" {
		folds = folded(words, p.small*bold, p.width-p.note, 3)
	}
	p.named(l.name, []string{fits(l.name, p.letter, p.left-8)}, func(line string) { p.text("", 0, p.y+16, p.letter, line) })
	for _, b := range l.plan {
		p.rect("plan", p.at(b.from), p.y+3, p.at(b.to)-p.at(b.from), 4)
	}
	for _, b := range l.first {
		p.rect("first", p.at(b.from), p.y-1, p.at(b.to)-p.at(b.from), 3.5)
	}
	for _, b := range l.actual {
		p.bar(b, p.y+9)
	}
	p.end(l, p.y)
	p.marks(l, p.y)
	height := p.sub
	for i, fold := range folds {
		if p.above {
			p.text("over", 12, p.y+height+p.small*0.8, p.small, fold)
			height += p.small * 1.3
			continue
		}
		p.text("over", p.note, p.y+15+float64(i)*p.small*1.25, p.small, fold)
		height = max(height, 20+float64(i)*p.small*1.25)
	}
	p.y += height + 2
}

// bar draws one interval; its kind is its filling, so that it is told apart
// without colour.
func (p *lifePlot) bar(b bar, y float64) {
	x, w := p.at(b.from), p.at(b.to)-p.at(b.from)
	switch b.kind {
	case "clamp":
		p.rect("clamp", x, y, max(w, 1.5), 9)
	case "soak":
		p.rect("water", x, y, max(w, 1.5), 9)
		fmt.Fprintf(&p.b, `<rect class="waves" x="%s" y="%s" width="%s" height="9" style="fill:url(#%s)"/>`, at(x), at(y), at(max(w, 1.5)), p.hatch)
	case "hold":
		p.rect("hold", x, y+2.5, max(w, 1), 4)
	default:
		p.rect("cure", x, y, max(w, 1), 9)
	}
	if b.slack > 0 {
		p.line("slack", p.at(b.to-b.slack), y+4.5, p.at(b.to+b.slack), y+4.5)
	}
	if b.open {
		p.path("slack", x+w, y+1, min(x+w+5, p.width), y+4.5, x+w, y+8)
	}
}

// end marks the break: a bar across, or a cross where it fell apart.
func (p *lifePlot) end(l lifeline, y float64) {
	if l.broke == 0 {
		return
	}
	x := p.at(l.broke)
	if l.outcome == strength.FellApart {
		p.path("cross dry", x-4, y+9, x+4, y+18)
		p.path("cross dry", x-4, y+18, x+4, y+9)
		return
	}
	p.line("end-mark", x, y+6, x, y+20)
}

// marks points right for late, left for early, both ways where nobody can tell.
func (p *lifePlot) marks(l lifeline, y float64) {
	last := -1e9
	for _, d := range l.drifted {
		x := max(p.at(d.at), last+9)
		last = x
		switch d.verdict {
		case schedule.Late:
			p.closed("drift", x-3, y, x+4, y+4, x-3, y+8)
		case schedule.Early:
			p.closed("drift", x+3, y, x-4, y+4, x+3, y+8)
		default:
			p.closed("unsure", x-4, y+4, x, y, x+4, y+4, x, y+8)
		}
	}
}

func livesInWords(lines []lifeline) string {
	var all []string
	for _, l := range lines {
		text := l.name + ": "
		for i, b := range l.actual {
			if i > 0 {
				text += ", "
			}
			text += b.kind + " " + schedule.Short(b.to-b.from)
			if b.open {
				text += " and running"
			}
		}
		if len(l.words) > 0 {
			text += "; outside its tolerance: " + strings.Join(l.words, ", ")
		}
		all = append(all, text)
	}
	return strings.Join(all, ". ") + "."
}
