package intake

import (
	"slices"

	"soaktag/labels"
	"soaktag/tracker"
)

// A code that was read while two labels were exchanged stands for the other
// specimen: whoever records under it is told, for the labels may have been put
// right since.

// What is said of exchanged labels.
type (
	// TakenForOther: so many events of a table stand for the other specimen.
	TakenForOther struct {
		Events int
		Codes  []Exchangee // each once
		Dry    bool        // would
	}
	// An Exchangee is a code as read and the one of the specimen that it sat on.
	Exchangee struct{ Read, Is string }
	// StillExchanged: an exchange of which nobody said when it ended.
	StillExchanged struct{ Exchange tracker.Event }
)

func (TakenForOther) note()  {}
func (StillExchanged) help() {}

// sayExchanged advises on the exchanges without an end by which what was recorded
// stands for other specimens; each once.
func sayExchanged(out *Outcome, rec *tracker.Record, marks []tracker.Mark) {
	var said []string
	for _, m := range marks {
		if x, open := openExchange(rec, m); open && !slices.Contains(said, x.ID) {
			said = append(said, x.ID)
			out.add(Advised{StillExchanged{x}})
		}
	}
}

// openExchange is the exchange without an end that a mark is of.
func openExchange(rec *tracker.Record, m tracker.Mark) (tracker.Event, bool) {
	swap, is := m.About.(tracker.Swapped)
	if !is {
		return tracker.Event{}, false
	}
	for _, e := range rec.Events() {
		if e.Kind == tracker.Exchanged && e.Until.IsZero() && !rec.Voided(e.ID) && sameTwo(rec, [2]string{e.Code, e.Other}, [2]string{swap.Code, m.Code}) {
			return e, true
		}
	}
	return tracker.Event{}, false
}

// sameTwo reports whether two pairs of codes, or of people's own names, mean the
// same two specimens.
func sameTwo(rec *tracker.Record, a, b [2]string) bool {
	of := func(text string) labels.Code {
		sp, _, _ := rec.Resolve(text) // it is on record
		return sp.Code.Whole()
	}
	return of(a[0]) == of(b[0]) && of(a[1]) == of(b[1]) || of(a[0]) == of(b[1]) && of(a[1]) == of(b[0])
}

// exchangees are the codes of a table that stand for other specimens, as the record
// has them after it; and a mark of each that says so.
func (f Rows) exchangees(after *tracker.Record, events []tracker.Event) (n TakenForOther, marks []tracker.Mark) {
	added := map[string]bool{}
	for _, e := range events {
		added[e.ID] = true
	}
	n.Dry = f.Dry
	for _, m := range after.Marks() {
		swap, is := m.About.(tracker.Swapped)
		if !is || !added[m.Event] {
			continue
		}
		n.Events++
		if one := (Exchangee{swap.Code, m.Code}); !slices.Contains(n.Codes, one) {
			n.Codes, marks = append(n.Codes, one), append(marks, m)
		}
	}
	return n, marks
}
