// Package sheet prints labels, cards and bath tags as PDF, and lends its paper to
// other pages.
//
// A label carries a symbol and the code in letters to be read by eye, never the
// adhesive: breaking is blind. Nothing is written unless every symbol has
// been read back. The same job gives the same bytes.
package sheet

import (
	"errors"
	"fmt"
	"io"
	"time"

	"soaktag/labels"
)

// A Label is what is printed for one specimen: a label a half, or one only
// where Code names a half.
type Label struct {
	Code  labels.Code
	Issue int          // 2 and more for a label printed again; shown in words
	Trial labels.Trial // not 0: a trial label, which has this number in place of a code
}

// text is what people read on the label.
func (l Label) text() string {
	if l.Trial != 0 {
		return l.Trial.String()
	}
	return l.Code.String()
}

// symbol is what stands in the label's symbol.
func (l Label) symbol() string {
	if l.Trial != 0 {
		return l.Trial.Symbol()
	}
	return l.Code.Packed()
}

func (l Label) valid() error {
	if l.Trial != 0 {
		if l.Trial < 1 || l.Trial > labels.MaxTrial {
			return fmt.Errorf("trial label %d: want 1 to %d", int(l.Trial), labels.MaxTrial)
		}
		return nil
	}
	if err := l.Code.Valid(); err != nil {
		return fmt.Errorf("label %s: %w", l.Code, err)
	}
	return nil
}

// A Job is what goes into one PDF: the labels on their stock, then the cards;
// on sheets the cards follow on pages of their own, on a roll as labels.
type Job struct {
	Stock  labels.Stock
	Title  string // the study's, shown in the margin
	Labels []Label
	Cards  []Card

	StartAt        int     // first place used on the first sheet, from 1; 0 is 1
	NudgeX, NudgeY float64 // moves everything right and down, in mm
	Ruler          Ruler   // of scale bars
	Date           time.Time
}

// largestNudge is as far as a printer is put right, in mm.
const largestNudge = 20

// Write writes the job as PDF. It first encodes every symbol and reads it back,
// and writes nothing when one fails: the error is a *SymbolsError that names
// them. Labels that are too small for their text, and places that do not
// exist, are errors too. The PDF has Date as its date, or 1970 when that is
// zero, and is the same byte for byte for the same job.
func Write(w io.Writer, job Job) error {
	if err := job.valid(); err != nil {
		return err
	}
	symbols, err := encode(job.texts())
	if err != nil {
		return err
	}
	return draw(w, job, symbols)
}

// draw makes the PDF from symbols that are known to be good.
func draw(w io.Writer, job Job, symbols []symbol) error {
	p, err := NewPaper(job.Stock.PageWidth, job.Stock.PageHeight, job.Title, job.Date)
	if err != nil {
		return err
	}
	p.nudgeX, p.nudgeY = job.NudgeX, job.NudgeY
	p.Ruler = job.Ruler
	p.roll(job.Stock.Roll())
	n := len(symbols) - len(job.Cards)
	if err := p.labels(job, symbols[:n]); err != nil {
		return err
	}
	if err := p.cards(job, symbols[n:]); err != nil {
		return err
	}
	return p.Write(w)
}

func (job Job) valid() error {
	switch {
	case len(job.Labels)+len(job.Cards) == 0:
		return errors.New("nothing to print: no labels and no cards")
	case job.StartAt < 0 || job.StartAt > job.Stock.Cells():
		return fmt.Errorf("start at %d: the sheet has places 1 to %d", job.StartAt, job.Stock.Cells())
	case !(job.NudgeX >= -largestNudge && job.NudgeX <= largestNudge && job.NudgeY >= -largestNudge && job.NudgeY <= largestNudge):
		return fmt.Errorf("nudge %g,%g: want at most %d mm either way", job.NudgeX, job.NudgeY, largestNudge)
	}
	for _, l := range job.Labels {
		if err := l.valid(); err != nil {
			return err
		}
	}
	return job.Stock.Valid()
}

// halves lists the labels one by one, half 1 before half 2.
func (job Job) halves() []Label {
	out := make([]Label, 0, 2*len(job.Labels))
	for _, l := range job.Labels {
		if l.Code.Half != 0 || l.Trial != 0 {
			out = append(out, l)
			continue
		}
		for half := 1; half <= 2; half++ {
			l.Code.Half = half
			out = append(out, l)
		}
	}
	return out
}

// texts lists what stands in the symbols: labels, then cards.
func (job Job) texts() []string {
	var texts []string
	for _, l := range job.halves() {
		texts = append(texts, l.symbol())
	}
	for _, c := range job.Cards {
		texts = append(texts, c.Text())
	}
	return texts
}

// labels draws the labels in their places, page by page.
func (p *Paper) labels(job Job, symbols []symbol) error {
	halves := job.halves()
	if len(halves) == 0 {
		return nil
	}
	fit, err := p.fit(job.Stock, halves, symbols)
	if err != nil {
		return err
	}
	first, strip := max(job.StartAt, 1)-1, true
	for i, l := range halves {
		place := (first + i) % job.Stock.Cells()
		if i == 0 || place == 0 {
			p.Page()
			strip = p.margin(job)
		}
		p.label(fit, job.Stock.Cell(place), l, symbols[i])
	}
	if !strip {
		p.spare(job.Stock, (first+len(halves)-1)%job.Stock.Cells()+1)
	}
	return p.Err()
}
