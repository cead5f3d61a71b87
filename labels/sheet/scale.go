package sheet

import "fmt"

// marginText is the height of the capitals in the margin, mm; a printer leaves
// the outermost 4 mm white.
const (
	marginText = 1.6
	unprinted  = 4.0
)

// margin prints a scale bar and what the page is, in the free strip below or
// above the labels; where neither is high enough, the cards' pages have the bar.
func (p *paper) margin(job Job) {
	last := job.Stock.Cell(job.Stock.Cells() - 1)
	bottom := p.height - last.Y - last.Height
	y := 0.0
	switch {
	case job.Stock.Roll():
		return
	case bottom >= unprinted+3:
		y = last.Y + last.Height + (bottom-unprinted)/2
	case job.Stock.Top >= unprinted+3:
		y = unprinted + (job.Stock.Top-unprinted)/2
	default:
		return
	}
	left := max(job.Stock.Left, unprinted+2)
	words := fmt.Sprintf("soaktag · %s · page %d", p.pageWords(job), p.pdf.PageNo())
	p.scaleBar(left, p.width-left, y, words)
}

func (p *paper) pageWords(job Job) string {
	words := job.Title
	if job.Stock.Page != "" {
		words += " · " + job.Stock.String()
	}
	if runes := []rune(words); len(runes) > 90 {
		words = string(runes[:89]) + "…"
	}
	return words
}

// scaleBar draws a bar of whole centimetres, at most 50 mm, between two ends,
// with words behind it where there is room. Measure it to see whether the
// printer kept the size.
func (p *paper) scaleBar(from, to, y float64, words string) {
	length := min(50, 10*float64(int((to-from)/10)))
	if length <= 0 {
		return
	}
	p.line(from, y, from+length, y, 0.25)
	for at := 0.0; at <= length; at += 10 {
		p.line(from+at, y-1, from+at, y+1, 0.25)
	}
	words = fmt.Sprintf("%.0f mm: print at 100 %% · %s", length, words)
	x, base := from+length+2, y+marginText/2
	if to-x < 60 { // on a narrow label below the bar
		x, base = from, y+2+marginText
	}
	if lines := p.wrap(regular, marginText, to-x, words); len(lines) > 0 {
		p.text(regular, marginText, x, base, lines[0])
	}
}
