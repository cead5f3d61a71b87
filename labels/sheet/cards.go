package sheet

import (
	"fmt"
	"strings"

	"soaktag/labels"
)

// A Card is a card to be printed. A stage's card carries the stage's caution; a
// bath's is a tag for the tub, with a warning.
type Card struct {
	labels.Card
	LiftOut string   // bath: the planned lift-out, as it is to be read; empty leaves a line for a pencil
	Holds   []string // bath: the codes of what lies in it; never the adhesive
}

// Cards lists the cards of a study: its stages, yes, undo, who is who, the
// scanner test, and a tag for each bath. Set LiftOut and Holds of the tags
// afterwards where they are known.
func Cards(stages, people, baths []string) []Card {
	var cards []Card
	add := func(kind labels.CardKind, name string) {
		cards = append(cards, Card{Card: labels.Card{Kind: kind, Name: name}})
	}
	for _, stage := range stages {
		add(labels.CardStage, stage)
	}
	add(labels.CardYes, "")
	add(labels.CardUndo, "")
	for _, name := range people {
		add(labels.CardWho, name)
	}
	add(labels.CardTest, "")
	for _, bath := range baths {
		add(labels.CardBath, bath)
	}
	return cards
}

// words is what a card says beside its symbol.
func (c Card) words() string {
	switch c.Kind {
	case labels.CardStage:
		return Caution(c.Name)
	case labels.CardYes:
		return "Answers the question asked last with yes."
	case labels.CardUndo:
		return "Takes back what was recorded last. Both stay on record."
	case labels.CardWho:
		return "What is scanned from now on was done by " + c.Name + "."
	case labels.CardTest:
		return "Scan this first. It must type " + c.Text() + " exactly so, in capitals, and then Enter. If not, set the scanner's keyboard layout to the computer's, and caps lock off."
	case labels.CardBath:
		return BathWarning + " " + bathCare
	}
	return ""
}

// title is the card's heading, with a capital to begin.
func (c Card) title() string {
	title := c.Title()
	if c.Kind == labels.CardWho || title == "" {
		return c.Name
	}
	return strings.ToUpper(title[:1]) + title[1:]
}

// Sizes of cards on sheets, in mm: two beside each other on the usual pages, a
// bath tag over the whole width.
const (
	cardWidth, cardHeight = 95, 64
	tagWidth, tagHeight   = 190, 128
	pageEdge              = 9
)

// cards draws the cards: on a roll as labels, on sheets on pages of their own.
func (p *paper) cards(job Job, symbols []symbol) error {
	if job.Stock.Roll() {
		return p.rollCards(job, symbols)
	}
	grid := p.grid(cardWidth, cardHeight)
	tags := p.grid(tagWidth, tagHeight)
	used, usedTags := 0, 0
	for i, c := range job.Cards {
		g, n, others := &grid, &used, &usedTags
		if c.Kind == labels.CardBath {
			g, n, others = &tags, &usedTags, &used
		}
		if *others = 0; *n%g.Cells() == 0 {
			p.page()
			p.margin(Job{Title: job.Title, Stock: *g})
		}
		if err := p.card(g.Cell(*n), c, symbols[i]); err != nil {
			return err
		}
		*n++
	}
	return p.err()
}

// grid lays cards of at most the size given on the page, with room for the
// margin's text below.
func (p *paper) grid(w, h float64) labels.Stock {
	w, h = min(w, p.width-2*pageEdge), min(h, p.height-2*pageEdge)
	s := labels.Stock{PageWidth: p.width, PageHeight: p.height, Width: w, Height: h,
		Columns: max(1, int((p.width-2*pageEdge)/w)), Rows: max(1, int((p.height-2*pageEdge)/h))}
	s.Left = (p.width - w*float64(s.Columns)) / 2
	s.Top = (p.height - h*float64(s.Rows)) / 2
	return s
}

func (p *paper) card(cell labels.Rect, c Card, s symbol) error {
	p.frame(cell.X, cell.Y, cell.Width, cell.Height, 0.2, 150)
	fits := false
	if c.Kind == labels.CardBath {
		fits = p.tag(cell, c, s)
	} else {
		fits = p.plainCard(cell, c, s)
	}
	if !fits {
		return fmt.Errorf("card %q does not fit on a page of %g x %g mm: use a larger page, or shorten the name", c.Title(), p.width, p.height)
	}
	return nil
}

// Type on cards, in mm of capital height.
const (
	headCaps    = 5.5
	wordsCaps   = 2.6
	leastWords  = 1.6
	leastHead   = 3.0
	symbolShare = 0.62 // of a card's height
)

// plainCard has its title on top, the symbol below, and words beside it.
func (p *paper) plainCard(cell labels.Rect, c Card, s symbol) bool {
	const pad = 4.0
	x, w := cell.X+pad, cell.Width-2*pad
	caps := p.heading(headCaps, w, c.title())
	if caps < leastHead {
		return false
	}
	p.text(bold, caps, x, cell.Y+pad+caps, c.title())
	top := cell.Y + pad + headCaps + 2.5
	side := min(cell.Height*symbolShare, w*0.45)
	p.symbolIn(s, cell.X+1, top, side)
	p.under(cell.X+1, top+side, side, c.Text())
	return p.block(regular, wordsCaps, leastWords, cell.X+2+side, top+1.5, cell.Width-side-2-pad, cell.Y+cell.Height-top-1.5-2, c.words())
}

// heading is the largest height of capitals, up to most, at which text is no wider than w.
func (p *paper) heading(most, w float64, text string) float64 {
	if width := p.textWidth(bold, 1, text); width*most > w {
		return w / width
	}
	return most
}

// under writes what a scanner types below the symbol.
func (p *paper) under(x, y, side float64, text string) {
	p.centred(bold, p.heading(2.2, side-2, text), x+side/2, y+1.5, text)
}

// tag is the tag of a bath: the lift-out large, and the warning framed.
func (p *paper) tag(cell labels.Rect, c Card, s symbol) bool {
	const pad = 5.0
	x, w := cell.X+pad, cell.Width-2*pad
	scale := cell.Width / tagWidth
	side := min(62*scale, cell.Height*0.48)
	left := w - side - 2
	head := p.heading(13*scale, left, c.title())
	p.text(bold, head, x, cell.Y+pad+head, c.title())
	y := cell.Y + pad + 13*scale + 8*scale
	p.text(regular, 3*scale, x, y, "planned lift-out")
	p.liftOut(x, y+3*scale, left, 10*scale, c.LiftOut)
	ok := head >= leastHead
	if len(c.Holds) > 0 {
		ok = p.block(regular, 2.6, 1.2, x, y+19*scale, left, side-35*scale, c.holds()) && ok
	}
	p.symbolIn(s, cell.X+cell.Width-pad-side+2, cell.Y+2, side)
	p.under(cell.X+cell.Width-pad-side+2, cell.Y+2+side, side, c.Text())
	y = cell.Y + side + 9
	rest := cell.Y + cell.Height - y - pad
	p.frame(x, y, w, rest*0.56, 0.9, 0)
	ok = p.block(bold, 5, leastWords, x+3, y+2.5, w-6, rest*0.56-4, BathWarning) && ok
	return p.block(regular, wordsCaps, leastWords, x, y+rest*0.56+2.5, w, rest*0.44-2.5, bathCare) && ok
}

// liftOut writes the date, or a line for a pencil.
func (p *paper) liftOut(x, y, w, caps float64, date string) {
	if date == "" {
		p.line(x, y+caps, x+w*0.9, y+caps, 0.3)
		return
	}
	caps = p.heading(caps, w, date)
	p.text(bold, caps, x, y+caps, date)
}
