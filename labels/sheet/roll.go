package sheet

import (
	"fmt"
	"strings"

	"soaktag/labels"
)

// rollCards draws the cards on a roll: a label with symbol and title, then as
// many labels as the words need, and a scale bar at the end.
func (p *Paper) rollCards(job Job, symbols []symbol) error {
	for i, c := range job.Cards {
		p.Page()
		if !p.rollCard(c, symbols[i]) {
			return fmt.Errorf("card %q does not fit on %s: use a larger roll or a sheet, or shorten the name", c.Title(), job.Stock)
		}
		switch c.Kind {
		case labels.CardBath:
			p.rollText(Bold, 5, c.dates())
			p.rollText(Regular, 2.4, c.holds())
			p.rollText(Bold, 5, c.Caution)
			p.rollText(Regular, 2.4, c.Care)
		case labels.CardStage, labels.CardTest:
			p.rollText(Regular, 2.4, c.words())
		}
	}
	p.Page()
	p.ScaleBar(2, p.Width-2, p.Height/2, job.Stock.String())
	return p.Err()
}

// dates is what a bath's labels say of its lift-out.
func (c Card) dates() string {
	if c.LiftOut == "" {
		return "planned lift-out: __________"
	}
	return "planned lift-out: " + c.LiftOut
}

// holds is what lies in a bath; nothing when that is not known.
func (c Card) holds() string {
	if len(c.Holds) == 0 {
		return ""
	}
	return "holds " + strings.Join(c.Holds, ", ")
}

// rollCard is a symbol with the title beside it, or below where the label is
// higher than wide.
func (p *Paper) rollCard(c Card, s symbol) bool {
	const most, least = 4.5, 2.0
	side := min(p.Width, p.Height) - 2*edge
	if p.Width >= p.Height*1.3 {
		p.symbolIn(s, edge, edge, side)
		return p.block(Bold, most, least, edge+side, 2*edge, p.Width-side-2*edge, p.Height-3*edge, c.title())
	}
	side = min(side, p.Height*0.7)
	p.symbolIn(s, (p.Width-side)/2, edge, side)
	return p.block(Bold, most, least, 2*edge, edge+side, p.Width-4*edge, p.Height-side-2*edge, c.title())
}

// rollText writes text on as few labels as letters of leastWords allow, and
// then in the largest letters, up to most, that need no more.
func (p *Paper) rollText(font string, most float64, text string) {
	const least = leastWords
	fewest := p.pagesFor(font, least, text)
	caps := p.wordFits(font, most, text)
	for caps > least && p.pagesFor(font, caps, text) > fewest {
		caps -= 0.05
	}
	caps = max(caps, least)
	lines, perPage := p.Wrap(font, caps, p.Width-4*edge, text), p.linesOn(caps)
	for len(lines) > 0 {
		n := min(perPage, len(lines))
		p.Page()
		for i, line := range lines[:n] {
			p.Text(font, caps, 2*edge, 2*edge+caps*(1+Leading*float64(i)), line)
		}
		lines = lines[n:]
	}
}

// wordFits is the largest height of capitals, up to most, at which no word
// has to be cut.
func (p *Paper) wordFits(font string, most float64, text string) float64 {
	if width := p.widestWord(font, text); width > 0 {
		return min(most, (p.Width-4*edge)/width)
	}
	return most
}

// linesOn is the number of lines on a label of the roll.
func (p *Paper) linesOn(caps float64) int {
	return max(1, int((p.Height-4*edge-caps)/(caps*Leading))+1)
}

func (p *Paper) pagesFor(font string, caps float64, text string) int {
	lines := len(p.Wrap(font, caps, p.Width-4*edge, text))
	return (lines + p.linesOn(caps) - 1) / p.linesOn(caps)
}
