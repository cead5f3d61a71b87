package design

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Layout is how the blanks lie on one board: the cutting map that a record of
// sampling keeps. Lengths run along the grain from the end that is cut first,
// which loses the trim; widths from one edge, which loses nothing.
type Layout struct {
	Board        string
	Size, Blank  tracker.Box
	Kerf, Trim   quantity.Length
	Rows, Across int
	Blanks       []Blank
	Used         quantity.Length // of the board, trim included; as Cut.Length
	Offcut       quantity.Length // left of its length
	Strip        quantity.Length // left of its width, beside the blanks
	Short        int             // blanks wanted that the board does not give
	Units        quantity.System // of the words and the ruler of its drawing
}

// A Blank is one piece to cut. Rows and columns count from 1, rows along the
// grain.
type Blank struct {
	Row, Column int
	X, Y        quantity.Length // its corner nearest to the first cut and the first edge
	Code        labels.Code     // with its half; the zero Code is a spare
}

// Spare reports whether a blank is cut beside those needed.
func (b Blank) Spare() bool { return b.Code == labels.Code{} }

// Layouts returns the cutting map of every board whose size, and the blank's,
// the plan gives, in the order of the plan. Specimens are cut in the order of
// their serials, half 1 and half 2 one after the other, the spare last; the two
// places of a solid one are one piece (see CutList).
func Layouts(s *tracker.Study) []Layout {
	codes := codesByBoard(s)
	var list []Layout
	for b, c := range CutList(s) {
		if c.Across == 0 || c.Of == 0 {
			continue
		}
		l := Layout{
			Board: c.Board, Size: s.Wood.Boards[b].Size, Blank: s.Specimen.Blank, Kerf: s.Wood.Kerf, Trim: Trim,
			Across: c.Across, Used: c.Length, Offcut: max(0, c.Of-c.Length), Short: max(0, c.Blanks-c.Fits),
			Units: s.Units,
		}
		l.Strip = l.Size.Width - span(l.Across, l.Blank.Width, l.Kerf)
		l.lay(min(c.Blanks, c.Fits), codes[c.Board])
		list = append(list, l)
	}
	return list
}

// codesByBoard lists the codes of the halves to cut from each board.
func codesByBoard(s *tracker.Study) map[string][]labels.Code {
	codes := map[string][]labels.Code{}
	for _, specimen := range Allocate(s) {
		for half := 1; half <= BlanksPerSpecimen; half++ {
			code := specimen.Code
			code.Half = half
			codes[specimen.Board] = append(codes[specimen.Board], code)
		}
	}
	return codes
}

// span is the length of n pieces with the saw cuts between them.
func span(n int, piece, kerf quantity.Length) quantity.Length {
	return quantity.Length(n)*piece + quantity.Length(max(0, n-1))*kerf
}

// lay puts n blanks down row by row.
func (l *Layout) lay(n int, codes []labels.Code) {
	for i := range n {
		row, column := i/l.Across, i%l.Across
		b := Blank{
			Row: row + 1, Column: column + 1,
			X: l.Trim + quantity.Length(row)*(l.Blank.Length+l.Kerf),
			Y: quantity.Length(column) * (l.Blank.Width + l.Kerf),
		}
		if i < len(codes) {
			b.Code = codes[i]
		}
		l.Blanks, l.Rows = append(l.Blanks, b), row+1
	}
}

// String says the layout in words: "board A: 28 blanks in 10 rows of 3, 4 of
// them spare; 557 of 2400 mm needed, offcut 1843 mm, strip 9 mm".
func (l Layout) String() string {
	spare := 0
	for _, b := range l.Blanks {
		if b.Spare() {
			spare++
		}
	}
	text := fmt.Sprintf("board %s: %d blanks in %d rows of %d, %d of them spare; %s of %s needed, offcut %s, strip %s",
		l.Board, len(l.Blanks), l.Rows, l.Across, spare, l.Units.MeasureNumber(l.Used), l.Units.Measure(l.Size.Length), l.Units.Measure(l.Offcut), l.Units.Measure(l.Strip))
	if l.Short > 0 {
		text += fmt.Sprintf("; %d blanks short", l.Short)
	}
	return text
}

// The drawing of a layout on paper, in millimetres.
const (
	paperWidth = 277.0 // an A4 page on its side, with margins
	letterSize = 3.2   // on paper, where the blank has room for it
	margin     = 8.0   // on paper
)

// SVG returns the layout as a drawing in black and white, to be printed as wide
// as an A4 page on its side: the trim, the blanks with serial and half, the
// spare dashed and in words, and what follows of the offcut up to a break line.
// One unit of the drawing is one millimetre of the board; a scale lies under it.
// Title and description say the same in words.
func (l Layout) SVG() string {
	d := newDrawing(l)
	d.open()
	d.board()
	for _, b := range l.Blanks {
		d.blank(b)
	}
	d.scaleBar()
	d.put("</svg>\n")
	return d.text.String()
}

// A drawing is an SVG in the making.
type drawing struct {
	text  strings.Builder
	l     Layout
	shown float64 // of the board's length, in millimetres
	unit  float64 // millimetres of board to one of paper
}

// newDrawing chooses how much of the offcut to show: enough to see that the
// board goes on.
func newDrawing(l Layout) *drawing {
	d := &drawing{l: l}
	used := max(l.Used, l.Trim).MM()
	d.shown = min(l.Size.Length.MM(), used+max(40, 0.15*used))
	d.unit = d.shown / (paperWidth - 2*margin)
	return d
}

func (d *drawing) put(form string, args ...any) { fmt.Fprintf(&d.text, form, args...) }

// open writes the head, with the sizes on paper and the words.
func (d *drawing) open() {
	m := margin * d.unit
	width, height := d.shown+2*m, d.l.Size.Width.MM()+3*m
	d.put(`<svg xmlns="http://www.w3.org/2000/svg" role="img" width="%smm" height="%smm" viewBox="%s %s %s %s" `+
		`font-family="sans-serif" fill="none" stroke="black" stroke-width="%s">`+"\n",
		num(paperWidth), num(height/d.unit), num(-m), num(-m), num(width), num(height), num(0.2*d.unit))
	d.put("<title>Cuts of board %s</title>\n<desc>%s. Lengths in %s, along the grain from left to right.</desc>\n",
		escape(d.l.Board), escape(d.l.String()), d.l.Units.Choose("millimetres", "inches"))
}

// board draws the outline, the trim and the offcut up to its break line.
func (d *drawing) board() {
	width := d.l.Size.Width.MM()
	d.rect(0, 0, d.l.Trim.MM(), width, "")
	d.words(d.l.Trim.MM()/2, width/2, d.l.Trim.MM(), width, "trim")
	d.put(`<path d="M %s 0 H 0 V %s H %s"/>`+"\n", num(d.shown), num(width), num(d.shown))
	x, tooth := d.shown, letterSize*d.unit/2
	if d.shown < d.l.Size.Length.MM() {
		d.put(`<path d="M %s 0 L %s %s L %s %s L %s %s"/>`+"\n", num(x), num(x-tooth), num(width/3), num(x+tooth), num(width*2/3), num(x), num(width))
	} else {
		d.put(`<path d="M %s 0 V %s"/>`+"\n", num(x), num(width))
	}
	if room := d.shown - d.l.Used.MM(); room > 0 && d.l.Offcut > 0 {
		d.words(d.l.Used.MM()+room/2, width/2, room, width, "offcut "+d.l.Units.MeasureNumber(d.l.Offcut))
	}
}

func (d *drawing) blank(b Blank) {
	length, width := d.l.Blank.Length.MM(), d.l.Blank.Width.MM()
	name, style := "spare", fmt.Sprintf(` stroke-dasharray="%s"`, num(d.unit))
	if !b.Spare() {
		name, style = fmt.Sprintf("%d/%d", b.Code.Serial, b.Code.Half), ""
	}
	d.rect(b.X.MM(), b.Y.MM(), length, width, style)
	d.words(b.X.MM()+length/2, b.Y.MM()+width/2, length, width, name)
}

func (d *drawing) rect(x, y, w, h float64, style string) {
	d.put(`<rect x="%s" y="%s" width="%s" height="%s"%s/>`+"\n", num(x), num(y), num(w), num(h), style)
}

// words writes a text in the middle of a box, small enough to stay in it.
func (d *drawing) words(x, y, w, h float64, text string) {
	size := min(letterSize*d.unit, w/(0.62*float64(len([]rune(text)))+0.5), h/1.5)
	d.put(`<text x="%s" y="%s" font-size="%s" text-anchor="middle" fill="black" stroke="none">%s</text>`+"\n",
		num(x), num(y+size*0.35), num(size), escape(text))
}

// rulers are how far the marks of a ruler may be apart, in the unit of a length.
var rulers = map[quantity.System][]float64{quantity.Metric: {10, 20, 50, 100, 200, 500, 1000}, quantity.Inch: {1, 2, 5, 10, 20, 50}}

// scaleBar draws a ruler under the board, with about ten marks.
func (d *drawing) scaleBar() {
	one := 1.0 // of the unit, in millimetres
	if d.l.Units == quantity.Inch {
		one = 25.4
	}
	step := 0.0
	for _, wider := range rulers[d.l.Units] {
		if step == 0 || d.shown/step > 12 {
			step = wider * one
		}
	}
	y, tick := d.l.Size.Width.MM()+margin*d.unit*0.8, 1.5*d.unit
	d.put(`<path d="M 0 %s H %s"/>`+"\n", num(y), num(math.Floor(d.shown/step)*step))
	for x := 0.0; x <= d.shown; x += step {
		d.put(`<path d="M %s %s v %s"/>`+"\n", num(x), num(y-tick), num(2*tick))
		name := num(x / one)
		if x == 0 {
			name = "0 " + d.l.Units.LengthUnit()
		}
		d.words(x, y+3*tick, step, 10*tick, name)
	}
}

// num writes a coordinate to a hundredth.
func num(x float64) string {
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}

// escape makes a text safe inside an element.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(s)) // a Builder never fails
	return b.String()
}
