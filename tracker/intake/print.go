package intake

import (
	"cmp"
	"slices"
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
)

// A Label is that of a half of a specimen, or a trial label.
type Label struct {
	Code  labels.Code // with its half
	Trial labels.Trial
}

func (l Label) String() string {
	if l.Trial != 0 {
		return l.Trial.String()
	}
	return l.Code.String()
}

// Compare puts labels in the order in which they are listed.
func (l Label) Compare(m Label) int {
	return cmp.Or(cmp.Compare(l.Trial, m.Trial), strings.Compare(l.Code.Prefix, m.Code.Prefix),
		cmp.Compare(l.Code.Serial, m.Code.Serial), cmp.Compare(l.Code.Half, m.Code.Half))
}

// about gives an event about a label its subject.
func (l Label) about(e tracker.Event) tracker.Event {
	if l.Trial != 0 {
		return about(e, Subject{Code: l.Trial.Symbol()})
	}
	return about(e, Subject{Code: l.Code.Whole().String(), Half: l.Code.Half})
}

// An Issue is a label that is to be printed, or was: the Number counts the
// prints of one label from 1.
type Issue struct {
	Label
	Number int
	Again  bool // this or an earlier label of the same place was printed, and nobody relabelled it since
}

// Again counts those that were printed already.
func Again(issues []Issue) (n int) {
	for _, i := range issues {
		if i.Again {
			n++
		}
	}
	return n
}

// NewOf are those that were never printed, or relabelled since. The error is a
// *Refusal: there are none.
func NewOf(issues []Issue) ([]Issue, error) {
	fresh := slices.DeleteFunc(slices.Clone(issues), func(i Issue) bool { return i.Again })
	if len(fresh) == 0 {
		return nil, refuse("every label is printed already")
	}
	return fresh, nil
}

// AllIssues are the labels of every specimen, as they would be printed next.
func AllIssues(rec *tracker.Record) (out []Issue) {
	printed := printsOf(rec)
	for _, specimen := range rec.Specimens() {
		out = append(out, printed.issuesOf(rec, specimen, 0)...)
	}
	return out
}

// prints are the highest issues of labels that were printed.
type prints map[Label]int

func printsOf(rec *tracker.Record) prints {
	p := prints{}
	for _, e := range rec.Events() {
		if l, ok := labelOf(e); ok && !rec.Voided(e.ID) {
			p[l] = max(p[l], e.Issue)
		}
	}
	return p
}

// issuesOf are the labels of a specimen's half, or of both.
func (p prints) issuesOf(rec *tracker.Record, specimen tracker.Specimen, half int) (out []Issue) {
	for h := 1; h <= 2; h++ {
		if half == 0 || half == h {
			code := specimen.Code.Whole()
			code.Half = h
			out = append(out, p.next(rec, code))
		}
	}
	return out
}

// next is the next print of a label: its number is one more than the last
// print's, or what a relabelling gave and nobody printed yet.
func (p prints) next(rec *tracker.Record, code labels.Code) Issue {
	printed, given := p[Label{Code: code}], 0
	if life := rec.Life(code.Whole()); life != nil {
		given = life.Issue[code.Half-1]
	}
	return Issue{Label{Code: code}, max(printed+1, given), printed > 0 && given <= printed}
}

// MostTrials is how many trial labels are printed at once.
const MostTrials = 500

// TrialCount refuses none, or more trial labels than are printed at once.
func TrialCount(n int) error {
	if n < 1 || n > MostTrials {
		return refuse("print 1 to %d trial labels at a time", MostTrials).because(HowManyTrials{n, MostTrials})
	}
	return nil
}

// NextTrials are the next n trial labels of the study. The error is a *Refusal.
func NextTrials(rec *tracker.Record, n int) (out []Issue, err error) {
	if err := TrialCount(n); err != nil {
		return nil, err
	}
	last := lastTrial(rec)
	if int(last)+n > labels.MaxTrial {
		return nil, refuse("%d trial labels are printed already, and %d is the last number there is", last, labels.MaxTrial)
	}
	for t := last + 1; t <= last+labels.Trial(n); t++ {
		if card, ok := labels.ParseCard(t.Symbol(), StageNames(rec)); ok {
			return nil, refuse("the stage %q of this plan has the card %s, as a trial label has: name the stage otherwise", card.Name, t.Symbol())
		}
		out = append(out, Issue{Label: Label{Trial: t}, Number: 1})
	}
	return out, nil
}

// lastTrial is the highest number of a trial label ever printed.
func lastTrial(rec *tracker.Record) (last labels.Trial) {
	for _, e := range rec.Events() {
		if t, ok := tracker.TrialOf(e.Code); ok && e.Kind == tracker.Issued {
			last = max(last, t)
		}
	}
	return last
}

// StockName names what labels are printed on, so that two prints on the same
// have the same name. A label trial speaks for no other material.
func StockName(stock labels.Stock, material string) string {
	text := stock.String()
	if material := strings.ToLower(strings.Join(strings.Fields(material), " ")); material != "" {
		text += ", " + material
	}
	return text
}

// A Print is a form: labels were printed together, on a stock as StockName has it.
type Print struct {
	Labels []Issue
	Stock  string
}

func (f Print) take(d *Desk, out *Outcome) (err error) {
	fact := d.event(tracker.Issued)
	fact.Count = 0 // a print is told by its moment: several of one moment were one job
	fact.Values = []tracker.Value{{Name: tracker.StockValue, Text: f.Stock}}
	var events []tracker.Event
	for _, issue := range f.Labels {
		fact.Issue = issue.Number
		events = append(events, issue.about(fact))
	}
	verdicts, err := d.db.Record(events...)
	if err != nil {
		return err
	}
	out.add(Recorded{verdicts})
	return nil
}

// PrintedWith lists the labels that were printed together with the one that an event
// tells of, as they were issued, and their stock; false where it tells of none.
func PrintedWith(rec *tracker.Record, event string) (issues []Issue, stock labels.Stock, ok bool) {
	e, known := rec.Event(event)
	size, _, _ := strings.Cut(stockOf(e), ", ")
	stock, err := labels.ParseStock(size)
	if !known || e.Kind != tracker.Issued || err != nil {
		return nil, stock, false
	}
	for _, x := range commandOf(rec, e) {
		if l, is := labelOf(x); is {
			issues = append(issues, Issue{Label: l, Number: x.Issue})
		}
	}
	return issues, stock, len(issues) > 0
}
