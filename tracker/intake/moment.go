package intake

import (
	"slices"

	"soaktag/schedule"
)

// moment reads a time that a form has beside the entry's own, and notes the
// instant that it was taken for. doubt is what a clock change makes doubtful
// about it.
func (d *Desk) moment(out *Outcome, field, text string) (span schedule.Span, doubt string, err error) {
	span, doubts, err := schedule.ParseTime(text, d.Recorded, d.Zone())
	if err != nil {
		return span, "", refuse("%s: %v; nothing recorded", field, err)
	}
	out.add(TimeRead{field, span})
	if field == "until" { // may well lie ahead
		doubts = slices.DeleteFunc(doubts, func(d schedule.Doubt) bool { return d == schedule.Future })
	}
	for _, doubt := range doubts {
		if !d.Yes {
			out.add(TimeDoubted{text, doubt, span})
		}
	}
	return span, schedule.InDoubt(doubts), nil
}

// until reads the time until which something held; none is for ever.
func (d *Desk) until(out *Outcome, text string, from schedule.Span) (schedule.Span, error) {
	if text == "" {
		return schedule.Span{}, nil
	}
	until, _, err := d.moment(out, "until", text)
	if err == nil && !from.IsZero() && !until.Mid().After(from.Mid()) {
		err = refuse("until is not after from; nothing recorded").because(EndsBeforeItBegan{})
	}
	return until, err
}

// undoubted refuses doubtful times that nobody was asked about, so that somebody
// is. sure: somebody was, or nobody can be.
func (d *Desk) undoubted(out *Outcome, sure bool) error {
	doubted := func(n Note) bool { _, is := n.(TimeDoubted); return is }
	if sure || !slices.ContainsFunc(out.Notes, doubted) {
		return nil
	}
	return refuse("a time is doubtful; nothing recorded").because(InDoubt{})
}
