package worksheet

import (
	"errors"
	"fmt"
	"math"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/tracker/quantity"
)

// A CutMap is how the blanks of one board are cut, to be drawn to scale on a
// page of its own. Lengths are in mm: along the grain from the end that is cut
// first, across it from one edge.
type CutMap struct {
	Board                   string
	Words                   string   // the same in words
	Notes                   []string // what is to be known beside
	Length, Width           float64  // of the board
	Trim, Kerf, Used        float64  // Used with the trim
	BlankLength, BlankWidth float64
	Blanks                  []CutBlank // row by row
	Units                   quantity.System
}

// A CutBlank is one piece to cut; the zero Code is a spare.
type CutBlank struct {
	Row  int // along the grain, from 1
	X, Y float64
	Code labels.Code // with its half
}

// What a drawing of cuts takes on paper, mm.
const (
	cutLeft    = 13.0 // for the measures across the grain
	cutBelow   = 9.0  // for the measures along it
	cutGap     = 5.0  // between two strips
	cutMeasure = 1.7  // capitals of a measure
	cutStub    = 14.0 // of the offcut, to see that the board goes on
)

// cutScales are the scales that a drawing may have, 1 to so many.
var cutScales = [...]float64{1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200}

// cuts draws a page for every board, across.
func (p paper) cuts(ws Sheet) error {
	width, height := p.Width, p.Height
	p.Width, p.Height = max(width, height), min(width, height)
	defer func() { p.Width, p.Height = width, height }()
	for i, m := range ws.Cuts {
		p.Page()
		if err := p.cutPage(ws, m, fmt.Sprintf("board %s, %d of %d", m.Board, i+1, len(ws.Cuts))); err != nil {
			return err
		}
	}
	return p.Err()
}

func (p paper) cutPage(ws Sheet, m CutMap, which string) error {
	if !(m.Length > 0) || !(m.Width > 0) || !(m.BlankLength > 0) || !(m.BlankWidth > 0) || len(m.Blanks) == 0 {
		return errors.New("a drawing of cuts needs the size of the board and of its blanks: give both in the plan")
	}
	y, w := p.head(ws), p.Width-2*sheetMargin
	p.Text(sheet.Bold, p.Heading(3.2, w/2, "board "+m.Board), sheetMargin, y+3.4, "board "+m.Board)
	y += 6
	for _, line := range append([]string{m.Words, m.lost()}, m.Notes...) {
		for _, part := range p.Wrap(sheet.Regular, 2, w, line) {
			y += 3.5
			p.Text(sheet.Regular, 2, sheetMargin, y, part)
		}
	}
	y += 6
	plan, ok := m.fit(w-cutLeft, p.Height-14-y)
	if !ok {
		return fmt.Errorf("board %s is too large to draw on a page", m.Board)
	}
	for _, s := range plan.strips(m) {
		p.cutStrip(m, plan, s, y)
		y += m.Width/plan.scale + cutBelow + cutGap
	}
	p.ScaleBar(sheetMargin, p.Width-sheetMargin, p.Height-9, fmt.Sprintf("drawn 1 : %g · soaktag · %s · %s", plan.scale, ws.Stage, which))
	return nil
}

// lost says how the measures are meant.
func (m CutMap) lost() string {
	return fmt.Sprintf("Measures run from the end cut first, and from one edge, to the far side of each blank; the saw takes %s beyond each. Dashed: spare.", m.Units.Cut(quantity.Millimetres(m.Kerf)))
}

// measure writes a length of the board without its unit.
func (m CutMap) measure(mm float64) string { return m.Units.CutNumber(quantity.Millimetres(mm)) }

// A cutPlan is a scale, and how many rows stand in one strip of the board.
type cutPlan struct {
	scale float64 // mm of board to one of paper
	rows  int
}

// cutRows are a strip of the board: its rows from..to of it, from 1.
type cutRows struct{ from, to int }

// fit finds the largest scale at which the board, cut into strips, fits into a
// width and a height.
func (m CutMap) fit(width, height float64) (cutPlan, bool) {
	last := m.lastRow()
	for _, scale := range cutScales {
		room := (width-cutStub)*scale - m.Trim
		rows := int((room + m.Kerf) / (m.BlankLength + m.Kerf))
		if rows < 1 {
			continue
		}
		rows = min(rows, last)
		strips := (last + rows - 1) / rows
		if float64(strips)*(m.Width/scale+cutBelow+cutGap)-cutGap <= height {
			return cutPlan{scale, (last + strips - 1) / strips}, true
		}
	}
	return cutPlan{}, false
}

func (m CutMap) lastRow() int {
	last := 1
	for _, b := range m.Blanks {
		last = max(last, b.Row)
	}
	return last
}

func (plan cutPlan) strips(m CutMap) (all []cutRows) {
	last := m.lastRow()
	for from := 1; from <= last; from += plan.rows {
		all = append(all, cutRows{from, min(last, from+plan.rows-1)})
	}
	return all
}

// start is where a row begins on the board.
func (m CutMap) start(row int) float64 {
	return m.Trim + float64(row-1)*(m.BlankLength+m.Kerf)
}

// cutStrip draws one strip of a board with its upper edge at top.
func (p paper) cutStrip(m CutMap, plan cutPlan, s cutRows, top float64) {
	from, to := m.start(s.from), m.start(s.to)+m.BlankLength
	if s.from == 1 {
		from = 0
	}
	left := sheetMargin + cutLeft
	at := func(x float64) float64 { return left + (x-from)/plan.scale }
	bottom := top + m.Width/plan.scale
	p.outline(m, s, at(to), m.stub(plan, s), left, top, bottom)
	if s.from == 1 && m.Trim > 0 {
		p.Line(at(m.Trim), top, at(m.Trim), bottom, 0.2)
		p.fitted(left, top, m.Trim/plan.scale, bottom-top, "trim")
		p.mark(at(m.Trim), bottom, m.measure(m.Trim))
	}
	for _, b := range m.Blanks {
		if s.from <= b.Row && b.Row <= s.to {
			p.blank(m, b, at(b.X), top+b.Y/plan.scale, plan.scale)
		}
	}
	p.along(m, s, at, bottom)
	p.across(m, plan, left, top)
}

// stub is how much of what follows a strip is drawn, on paper.
func (m CutMap) stub(plan cutPlan, s cutRows) float64 {
	return min(cutStub, max(0, m.Length-m.start(s.to)-m.BlankLength)/plan.scale)
}

// outline draws the edges of a strip, and where the board goes on a broken line.
func (p paper) outline(m CutMap, s cutRows, end, stub, left, top, bottom float64) {
	right, begin := end+stub, left
	if s.from > 1 {
		begin = left - 1.5
		p.broken(begin, top, bottom)
	} else {
		p.Line(left, top, left, bottom, 0.4)
	}
	p.Line(begin, top, right, top, 0.4)
	p.Line(begin, bottom, right, bottom, 0.4)
	more := []string{"goes on", "below"}
	if s.to == m.lastRow() {
		more = []string{"offcut"}
	}
	if stub < cutStub { // to the end of the board
		p.Line(right, top, right, bottom, 0.4)
	} else {
		p.broken(right, top, bottom)
	}
	p.fitted(end, top, stub-1, bottom-top, more...)
}

// broken draws a break line.
func (p paper) broken(x, top, bottom float64) {
	third := (bottom - top) / 3
	p.Line(x, top, x-1, top+third, 0.2)
	p.Line(x-1, top+third, x+1, top+2*third, 0.2)
	p.Line(x+1, top+2*third, x, bottom, 0.2)
}

// blank draws a piece with its code.
func (p paper) blank(m CutMap, b CutBlank, x, y, scale float64) {
	w, h := m.BlankLength/scale, m.BlankWidth/scale
	if b.Code == (labels.Code{}) {
		p.Dashed(x, y, w, h, 0.2)
		p.fitted(x, y, w, h, "spare")
		return
	}
	p.Frame(x, y, w, h, 0.3, 0)
	half := fmt.Sprintf("/%d", b.Code.Half)
	if !p.fitted(x, y, w, h, b.Code.Whole().String(), half) {
		p.fitted(x, y, w, h, fmt.Sprint(b.Code.Serial)+half)
	}
}

// The capitals of text in a piece, mm.
const (
	mostPiece  = 2.6
	leastPiece = 1.3
)

// fitted writes lines in the middle of a box, as large as they fit, and reports
// whether they do.
func (p paper) fitted(x, y, w, h float64, lines ...string) bool {
	caps := min(mostPiece, (h-1)/(sheet.Leading*float64(len(lines))))
	for _, line := range lines {
		caps = min(caps, (w-1.2)/p.TextWidth(sheet.Bold, 1, line))
	}
	if caps < leastPiece {
		return false
	}
	base := y + h/2 - caps*sheet.Leading*float64(len(lines)-1)/2 + caps/2
	for i, line := range lines {
		p.Centred(sheet.Bold, caps, x+w/2, base+caps*sheet.Leading*float64(i), line)
	}
	return true
}

// mark writes a measure below a point of the lower edge.
func (p paper) mark(x, bottom float64, text string) {
	p.Line(x, bottom, x, bottom+1.5, 0.2)
	p.Centred(sheet.Regular, cutMeasure, x, bottom+2.2+cutMeasure, text)
}

// along writes the measure at the far side of every row, or of every so many
// where they would run into each other.
func (p paper) along(m CutMap, s cutRows, at func(float64) float64, bottom float64) {
	widest := p.TextWidth(sheet.Regular, cutMeasure, m.measure(m.start(s.to)+m.BlankLength)) + 1.5
	every := max(1, int(math.Ceil(widest/(at(m.start(2))-at(m.start(1))))))
	for row := s.from; row <= s.to; row++ {
		x := m.start(row) + m.BlankLength
		if (s.to-row)%every == 0 {
			p.mark(at(x), bottom, m.measure(x))
		}
	}
}

// across writes the measures across the grain at the left of a strip.
func (p paper) across(m CutMap, plan cutPlan, left, top float64) {
	told := map[float64]bool{}
	above := math.Inf(-1)
	for _, b := range m.Blanks {
		y := b.Y + m.BlankWidth
		at := top + y/plan.scale
		if told[b.Y] || at-above < cutMeasure*sheet.Leading {
			continue
		}
		told[b.Y], above = true, at
		text := m.measure(y)
		p.Line(left-1.5, at, left, at, 0.2)
		p.Text(sheet.Regular, cutMeasure, left-3.6-p.TextWidth(sheet.Regular, cutMeasure, text), at+cutMeasure/2, text)
	}
}
