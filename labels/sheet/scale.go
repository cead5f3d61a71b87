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

// ScaleBar draws a bar of whole centimetres, at most 50 mm, between two ends,
// with words behind it where there is room. Measure it to see whether the
// printer kept the size.
func (p *Paper) ScaleBar(from, to, y float64, words string) {
	length := min(50, 10*float64(int((to-from)/10)))
	if length <= 0 {
		return
	}
	p.Line(from, y, from+length, y, 0.25)
	for at := 0.0; at <= length; at += 10 {
		p.Line(from+at, y-1, from+at, y+1, 0.25)
	}
	words = strings.TrimSuffix(fmt.Sprintf("%.0f mm: print at 100 %% · %s", length, words), " · ")
	x, base := from+length+2, y+marginText/2
	if to-x < 60 { // on a narrow label below the bar
		x, base = from, y+2+marginText
	}
	if lines := p.Wrap(Regular, marginText, to-x, words); len(lines) > 0 {
		p.Text(Regular, marginText, x, base, lines[0])
	}
}
