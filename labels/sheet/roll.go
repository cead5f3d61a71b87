package sheet

import (
	"fmt"
	"strings"

	"soaktag/labels"
)

// rollCards draws the cards on a roll: a label with symbol and title, then as
// many labels as the words need, and a scale bar at the end.
func (p *paper) rollCards(job Job, symbols []symbol) error {
	for i, c := range job.Cards {
		p.page()
		if !p.rollCard(c, symbols[i]) {
			return fmt.Errorf("card %q does not fit on %s: use a larger roll or a sheet, or shorten the name", c.Title(), job.Stock)
		}
		p.rollText(bold, 3, p.dates(c))
		if c.Kind == labels.CardBath {
			p.rollText(bold, 3, BathWarning)
			p.rollText(regular, 2, bathCare)
			continue
		}
		p.rollText(regular, 2, c.words())
	}
	p.page()
	p.scaleBar(2, p.width-2, p.height/2, job.Stock.String())
	return p.err()
}

// dates is what a bath's labels say of its lift-out.
func (p *paper) dates(c Card) string {
	if c.Kind != labels.CardBath {
		return ""
	}
	text := "planned lift-out: " + c.LiftOut
	if c.LiftOut == "" {
		text += "________________"
	}
	if len(c.Holds) > 0 {
		text += " holds " + strings.Join(c.Holds, ", ")
	}
	return text
}

// rollCard is a symbol with the title beside it, or below where the label is
// higher than wide.
func (p *paper) rollCard(c Card, s symbol) bool {
	const most, least = 4.5, 2.0
	side := min(p.width, p.height) - 2*edge
	if p.width >= p.height*1.3 {
		p.symbolIn(s, edge, edge, side)
		return p.block(bold, most, least, edge+side, 2*edge, p.width-side-2*edge, p.height-3*edge, c.title())
	}
	side = min(side, p.height*0.7)
	p.symbolIn(s, (p.width-side)/2, edge, side)
	return p.block(bold, most, least, 2*edge, edge+side, p.width-4*edge, p.height-side-2*edge, c.title())
}

// rollText writes text on as many labels as it needs.
func (p *paper) rollText(font string, caps float64, text string) {
	lines := p.wrap(font, caps, p.width-4*edge, text)
	a := max(1, int((p.height-3*edge-caps)/(caps*leading))+1)
	for len(lines) > 0 {
		n := min(a, len(lines))
		p.page()
		for i, line := range lines[:n] {
			p.text(font, caps, 2*edge, 2*edge+caps*(1+leading*float64(i)), line)
		}
		lines = lines[n:]
	}
}
