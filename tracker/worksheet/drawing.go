package worksheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
)

// The drawing of a layout on paper, in millimetres.
const (
	paperWidth = 277.0 // an A4 page on its side, with margins
	letterSize = 3.2   // on paper, where the blank has room for it
	margin     = 8.0   // on paper
)

// boardSVG returns a layout as a drawing in black and white, to be printed as wide
// as an A4 page on its side: the trim, the blanks with serial and half, the
// spare dashed and in words, and what follows of the offcut up to a break line.
// One unit of the drawing is one millimetre of the board; a scale lies under it.
// Title and description say the same in words. It stands at a height of another
// drawing, in mm, and returns its own.
func boardSVG(l design.Layout, top float64) (text string, height float64) {
	d := newDrawing(l)
	height = d.open(top)
	d.board()
	for _, b := range l.Blanks {
		d.blank(b)
	}
	d.scaleBar()
	d.put("</svg>\n")
	return d.text.String(), height
}

// A drawing is an SVG in the making.
type drawing struct {
	text  strings.Builder
	l     design.Layout
	shown float64 // of the board's length, in millimetres
	unit  float64 // millimetres of board to one of paper
}

// newDrawing chooses how much of the offcut to show: enough to see that the
// board goes on.
func newDrawing(l design.Layout) *drawing {
	d := &drawing{l: l}
	used := max(l.Used, l.Trim).MM()
	d.shown = min(l.Size.Length.MM(), used+max(40, 0.15*used))
	d.unit = d.shown / (paperWidth - 2*margin)
	return d
}

func (d *drawing) put(form string, args ...any) { fmt.Fprintf(&d.text, form, args...) }

// open writes the head, with the place and the sizes on paper and the words, and
// returns the height there.
func (d *drawing) open(top float64) float64 {
	m := margin * d.unit
	width, height := d.shown+2*m, d.l.Size.Width.MM()+3*m
	d.put(`<svg y="%.2fmm" role="img" width="%smm" height="%smm" viewBox="%s %s %s %s" `+
		`font-family="sans-serif" fill="none" stroke="black" stroke-width="%s">`+"\n",
		top, num(paperWidth), num(height/d.unit), num(-m), num(-m), num(width), num(height), num(0.2*d.unit))
	d.put("<title>Cuts of board %s</title>\n<desc>%s. Lengths in %s, along the grain from left to right.</desc>\n",
		xmlText(d.l.Board), xmlText(d.l.String()), d.l.Units.Choose("millimetres", "inches"))
	return math.Round(height/d.unit*100) / 100
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
		d.words(d.l.Used.MM()+room/2, width/2, room, width, "offcut "+d.l.Units.CutNumber(d.l.Offcut))
	}
}

func (d *drawing) blank(b design.Blank) {
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
		num(x), num(y+size*0.35), num(size), xmlText(text))
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
