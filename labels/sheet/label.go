package sheet

import (
	"fmt"
	"strings"

	"soaktag/labels"
	"soaktag/labels/qr"
)

// Limits of a label, in mm. Letters of 3 mm and more can be read on a wet
// block at arm's length; 0.4 mm a module is the usual floor for a phone in
// the hand; beyond 1.2 mm a larger symbol buys nothing.
const (
	leastCaps   = 3.0
	mostCaps    = 6.0
	leastModule = 0.4
	mostModule  = 1.2
	edge        = 1.0 // kept free at the edges of a label, for sheets that lie askew
)

// A fit is how all labels of a job are laid out: one symbol, and the code cut
// into lines beside or below it.
type fit struct {
	pad    float64 // kept free at the left and right of the label, mm
	module float64 // mm
	quiet  float64 // side of the symbol with its quiet zone, mm
	caps   float64 // height of capitals, mm
	cut    cut
	below  bool // text below the symbol, not beside it
}

// A cut is a way to cut a printed code into lines.
type cut func(code string) []string

// cuts are tried in this order: the fewer lines the better. A hyphen at the end
// of a line shows that the code goes on.
var cuts = [...]cut{
	func(code string) []string { return []string{code} },
	func(code string) []string { return at(code, strings.LastIndex(code, "-")+1) },
	func(code string) []string { return at(code, strings.Index(code, "-")+1) },
	func(code string) []string {
		last := strings.LastIndex(code, "-") + 1
		return append(at(code[:last], strings.Index(code, "-")+1), code[last:])
	},
}

func at(code string, i int) []string { return []string{code[:i], code[i:]} }

// issueCaps is the height of the issue's letters over that of the code's.
const issueCaps = 0.6

// fit finds the largest symbol that leaves room for letters of 3 mm for the
// widest code of the job, and then the largest letters.
func (p *Paper) fit(stock labels.Stock, halves []Label, symbols []symbol) (fit, error) {
	widest, issue := p.widest(halves)
	padX, padY := pads(stock)
	w, h := stock.Width-2*padX, stock.Height-2*padY
	modules := 0
	for _, s := range symbols {
		modules = max(modules, s.size+2*qr.QuietZone)
	}
	for module := min(mostModule, min(w, h)/float64(modules)); module >= leastModule-1e-9; module -= 0.01 {
		f := fit{pad: padX, module: module, quiet: module * float64(modules)}
		if p.lines(&f, w-f.quiet, h, widest, issue) {
			return f, nil
		}
		f.below = true
		if p.lines(&f, w, h-f.quiet, widest, issue) {
			return f, nil
		}
	}
	return fit{}, fmt.Errorf("stock %s is too small: %s in letters of %g mm and a symbol of %g mm a module do not fit", stock, widest, leastCaps, leastModule)
}

// pads are what is kept free at the sides of a label: more where the labels
// reach the edge of a sheet, which printers leave white.
func pads(stock labels.Stock) (x, y float64) {
	if stock.Roll() {
		return edge, edge
	}
	last := stock.Cell(stock.Cells() - 1)
	right, bottom := stock.PageWidth-last.X-last.Width, stock.PageHeight-last.Y-last.Height
	return max(edge, unprinted-min(stock.Left, right)), max(edge, unprinted-min(stock.Top, bottom))
}

// widest returns the code that is widest in print, and the widest issue if any.
func (p *Paper) widest(halves []Label) (code, issue string) {
	for _, l := range halves {
		if p.TextWidth(Bold, leastCaps, l.text()) > p.TextWidth(Bold, leastCaps, code) {
			code = l.text()
		}
		if words := issueWords(l.Issue); p.TextWidth(Bold, leastCaps, words) > p.TextWidth(Bold, leastCaps, issue) {
			issue = words
		}
	}
	return code, issue
}

// lines finds the cut with the largest letters that fit into w x h.
func (p *Paper) lines(f *fit, w, h float64, code, issue string) bool {
	used := 0
	f.caps = 0
	for _, cut := range cuts {
		lines := cut(code)
		width := 0.0
		for _, line := range lines {
			width = max(width, p.TextWidth(Bold, 1, line))
		}
		width = max(width, issueCaps*p.TextWidth(Bold, 1, issue))
		caps := min(mostCaps, w/width, h/tall(len(lines), issue != ""))
		better := f.caps
		if len(lines) > used {
			better *= 1.15 // fewer lines unless more are clearly larger
		}
		if caps >= leastCaps && caps > better {
			f.caps, f.cut, used = caps, cut, len(lines)
		}
	}
	return f.cut != nil
}

// lineStep is the distance of two baselines over the height of a capital.
const lineStep = 1.45

// tall is the height of the lines over that of a capital. A slash reaches a
// little lower than the letters.
func tall(lines int, issue bool) float64 {
	height := 1.2 + lineStep*float64(lines-1)
	if issue {
		height += 1.5 * issueCaps
	}
	return height
}

// label draws one label into its cell.
func (p *Paper) label(f fit, cell labels.Rect, l Label, s symbol) {
	lines := f.cut(l.text())
	words := issueWords(l.Issue)
	textHeight := f.caps * tall(len(lines), words != "")
	if f.below {
		top := cell.Y + (cell.Height-f.quiet-textHeight)/2
		p.symbolAt(s, cell.X+(cell.Width-f.quiet)/2, top, f)
		p.code(f, cell.X+cell.Width/2, top+f.quiet, lines, words, true)
		return
	}
	p.symbolAt(s, cell.X+f.pad, cell.Y+(cell.Height-f.quiet)/2, f)
	p.code(f, cell.X+f.pad+f.quiet, cell.Y+(cell.Height-textHeight)/2, lines, words, false)
}

func (p *Paper) symbolAt(s symbol, x, y float64, f fit) {
	p.symbol(s, x+qr.QuietZone*f.module, y+qr.QuietZone*f.module, f.module)
}

// code writes the lines from the top down, from x or centred on it.
func (p *Paper) code(f fit, x, top float64, lines []string, words string, centred bool) {
	write := p.Text
	if centred {
		write = p.Centred
	}
	y := top + f.caps
	for _, line := range lines {
		write(Bold, f.caps, x, y, line)
		y += f.caps * lineStep
	}
	if words != "" {
		write(Bold, f.caps*issueCaps, x, y-f.caps*(lineStep-0.5)+f.caps*issueCaps, words)
	}
}

// issueWords spells the issue of a label that was printed again; the first
// issue says nothing.
func issueWords(issue int) string {
	units := [...]string{"", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
		"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}
	tens := [...]string{"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}
	switch {
	case issue < 2:
		return ""
	case issue < 20:
		return "issue " + units[issue]
	case issue < 100:
		return strings.TrimSuffix("issue "+tens[issue/10]+"-"+units[issue%10], "-")
	}
	return fmt.Sprintf("issue %d", issue)
}
