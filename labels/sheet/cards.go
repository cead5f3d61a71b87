package sheet

import (
	"fmt"
	"strings"

	"soaktag/labels"
)

// A Card is a card to be printed. A bath's is a tag for the tub, with a warning.
// What there is to mind is handed in: a label knows nothing of the work.
type Card struct {
	labels.Card
	Caution string   // stage: what to mind there; bath: the warning, large and framed
	Care    string   // bath: what else to mind, below the warning
	LiftOut string   // bath: the planned lift-out, as it is to be read; empty leaves a line for a pencil
	Holds   []string // bath: the codes of what lies in it; never the adhesive
}

// Cards lists the cards of a study: its stages, yes, undo, who is who, the
// scanner test, and a tag for each bath. Set the cautions afterwards, and LiftOut
// and Holds of the tags where they are known.
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
		return c.Caution
	case labels.CardYes:
		return "Answers the question asked last with yes."
	case labels.CardUndo:
		return "Takes back what was recorded last. Both stay on record."
	case labels.CardWho:
		return "What is scanned from now on was done by " + c.Name + "."
	case labels.CardTest:
		return "Scan this first. It must type " + c.Text() + " exactly so, in capitals, and then Enter. If not, set the scanner's keyboard layout to the computer's, and caps lock off."
	case labels.CardBath:
		return c.Caution + " " + c.Care
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
func (p *Paper) cards(job Job, symbols []symbol) error {
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
			p.Page()
			p.margin(Job{Title: job.Title, Stock: *g})
		}
		if err := p.card(g.Cell(*n), c, symbols[i]); err != nil {
			return err
		}
		*n++
	}
	return p.Err()
}

// grid lays cards of at most the size given on the page, with room for the
// margin's text below.
func (p *Paper) grid(w, h float64) labels.Stock {
	w, h = min(w, p.Width-2*pageEdge), min(h, p.Height-2*pageEdge)
	s := labels.Stock{PageWidth: p.Width, PageHeight: p.Height, Width: w, Height: h,
		Columns: max(1, int((p.Width-2*pageEdge)/w)), Rows: max(1, int((p.Height-2*pageEdge)/h))}
	s.Left = (p.Width - w*float64(s.Columns)) / 2
	s.Top = (p.Height - h*float64(s.Rows)) / 2
	return s
}

func (p *Paper) card(cell labels.Rect, c Card, s symbol) error {
	p.Frame(cell.X, cell.Y, cell.Width, cell.Height, 0.2, 150)
	fits := false
	if c.Kind == labels.CardBath {
		fits = p.tag(cell, c, s)
	} else {
		fits = p.plainCard(cell, c, s)
	}
	if !fits {
		return fmt.Errorf("card %q does not fit on a page of %g x %g mm: use a larger page, or shorten the name", c.Title(), p.Width, p.Height)
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
func (p *Paper) plainCard(cell labels.Rect, c Card, s symbol) bool {
	const pad = 4.0
	x, w := cell.X+pad, cell.Width-2*pad
	caps := p.Heading(headCaps, w, c.title())
	if caps < leastHead {
		return false
	}
	p.Text(Bold, caps, x, cell.Y+pad+caps, c.title())
	top := cell.Y + pad + headCaps + 2.5
	side := min(cell.Height*symbolShare, w*0.45)
	p.symbolIn(s, cell.X+1, top, side)
	p.under(cell.X+1, top+side, side, c.Text())
	return p.block(Regular, wordsCaps, leastWords, cell.X+2+side, top+1.5, cell.Width-side-2-pad, cell.Y+cell.Height-top-1.5-2, c.words())
}

// under writes what a scanner types below the symbol.
func (p *Paper) under(x, y, side float64, text string) {
	p.Centred(Bold, p.Heading(2.2, side-2, text), x+side/2, y+1.5, text)
}

// tag is the tag of a bath: the lift-out large, and the warning framed.
func (p *Paper) tag(cell labels.Rect, c Card, s symbol) bool {
	const pad = 5.0
	x, w := cell.X+pad, cell.Width-2*pad
	scale := cell.Width / tagWidth
	side := min(62*scale, cell.Height*0.48)
	left := w - side - 2
	head := p.Heading(13*scale, left, c.title())
	p.Text(Bold, head, x, cell.Y+pad+head, c.title())
	y := cell.Y + pad + 13*scale + 8*scale
	p.Text(Regular, 3*scale, x, y, "planned lift-out")
	p.liftOut(x, y+3*scale, left, 10*scale, c.LiftOut)
	ok := head >= leastHead
	if len(c.Holds) > 0 {
		ok = p.block(Regular, 2.6, 1.2, x, y+19*scale, left, side-35*scale, c.holds()) && ok
	}
	p.symbolIn(s, cell.X+cell.Width-pad-side+2, cell.Y+2, side)
	p.under(cell.X+cell.Width-pad-side+2, cell.Y+2+side, side, c.Text())
	y = cell.Y + side + 9
	rest := cell.Y + cell.Height - y - pad
	p.Frame(x, y, w, rest*0.56, 0.9, 0)
	ok = p.block(Bold, 5, leastWords, x+3, y+2.5, w-6, rest*0.56-4, c.Caution) && ok
	return p.block(Regular, wordsCaps, leastWords, x, y+rest*0.56+2.5, w, rest*0.44-2.5, c.Care) && ok
}

// liftOut writes the date, or a line for a pencil.
func (p *Paper) liftOut(x, y, w, caps float64, date string) {
	if date == "" {
		p.Line(x, y+caps, x+w*0.9, y+caps, 0.3)
		return
	}
	caps = p.Heading(caps, w, date)
	p.Text(Bold, caps, x, y+caps, date)
}
