package sheet

import (
	"fmt"
	"strings"

	"soaktag/labels"
)

// marginText is the height of the capitals in the margin, mm; a printer leaves
// the outermost 4 mm white.
const (
	marginText = 1.6
	unprinted  = 4.0
)

// margin prints a scale bar and what the page is, in the free strip below or
// above the labels, and reports whether there is one.
func (p *Paper) margin(job Job) bool {
	y, ok := p.strip(job.Stock)
	if ok {
		left := max(job.Stock.Left, unprinted+2)
		p.ScaleBar(left, p.Width-left, y, fmt.Sprintf("soaktag · %s · page %d", p.pageWords(job), p.pdf.PageNo()))
	}
	return ok
}

// strip is the middle of the strip below the labels that can be printed on, or
// of the one above.
func (p *Paper) strip(stock labels.Stock) (y float64, ok bool) {
	const least = 3
	last := stock.Cell(stock.Cells() - 1)
	end := last.Y + last.Height
	switch {
	case stock.Roll():
		return 0, false
	case p.Height-end >= unprinted+least:
		return end + (p.Height-end-unprinted)/2, true
	case stock.Top >= unprinted+least:
		return unprinted + (stock.Top-unprinted)/2, true
	}
	return 0, false
}

// spare prints the scale bar on the label after the last one, for stock without
// a strip. A sheet that is full to its edges goes without.
func (p *Paper) spare(stock labels.Stock, place int) {
	if place >= stock.Cells() || stock.Roll() {
		return
	}
	padX, _ := pads(stock)
	cell := stock.Cell(place)
	p.ScaleBar(cell.X+padX, cell.X+cell.Width-padX, cell.Y+cell.Height/2, "")
}

func (p *Paper) pageWords(job Job) string {
	words := job.Title
	if job.Stock.Page != "" {
		words += " · " + job.Stock.String()
	}
	if runes := []rune(words); len(runes) > 90 {
		words = string(runes[:89]) + "…"
	}
	return words
}

// A Ruler is what a person measures a scale bar with. The zero Ruler is marked
// in millimetres.
type Ruler uint8

// The rulers.
const (
	Millimetres Ruler = iota
	Inches
)

// marks returns how many marks a scale bar has at most, how far they are apart
// in mm, and what to write of so many of them.
func (r Ruler) marks() (most int, apart float64, write func(marks int) string) {
	if r == Inches {
		return 4, 12.7, func(n int) string { return fmt.Sprintf("%g in", float64(n)/2) }
	}
	return 5, 10, func(n int) string { return fmt.Sprintf("%d mm", 10*n) }
}

// ScaleBar draws a bar of whole centimetres, at most 50 mm, or of half inches,
// at most 2 in, as the paper's Ruler is marked, between two ends, with words
// behind it where there is room. Measure it to see whether the printer kept the
// size.
func (p *Paper) ScaleBar(from, to, y float64, words string) {
	most, apart, write := p.Ruler.marks()
	n := min(most, int((to-from)/apart))
	if n <= 0 {
		return
	}
	length := float64(n) * apart
	p.Line(from, y, from+length, y, 0.25)
	for i := range n + 1 {
		at := from + float64(i)*apart
		p.Line(at, y-1, at, y+1, 0.25)
	}
	words = strings.TrimSuffix(fmt.Sprintf("%s: print at 100 %% · %s", write(n), words), " · ")
	x, base := from+length+2, y+marginText/2
	if to-x < 60 { // on a narrow label below the bar
		x, base = from, y+2+marginText
	}
	if lines := p.Wrap(Regular, marginText, to-x, words); len(lines) > 0 {
		p.Text(Regular, marginText, x, base, lines[0])
	}
}
