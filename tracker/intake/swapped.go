package intake

import (
	"slices"
	"time"

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
	// RoundAbout: an exchange met another, so that labels went on from specimen to specimen.
	RoundAbout struct {
		At    time.Time // from then on, until one of them ends
		Codes []Exchangee
	}
	// An Exchangee is a code as read and the one of the specimen that it sat on.
	Exchangee struct{ Read, Is string }
	// StillExchanged: an exchange of which nobody said when it ended.
	StillExchanged struct{ Exchange tracker.Event }
)

func (TakenForOther) note()  {}
func (RoundAbout) note()     {}
func (StillExchanged) help() {}

// sayExchanged advises on the exchanges without an end by which what was recorded
// stands for other specimens; each once.
func sayExchanged(out *Outcome, rec *tracker.Record, marks []tracker.Mark) {
	var said []string
	for _, m := range marks {
		for _, x := range openExchanges(rec, m) {
			if !slices.Contains(said, x.ID) {
				said = append(said, x.ID)
				out.add(Advised{StillExchanged{x}})
			}
		}
	}
}

// openExchanges are the exchanges without an end that a mark is of.
func openExchanges(rec *tracker.Record, m tracker.Mark) []tracker.Event {
	swap, is := m.About.(tracker.Swapped)
	if !is {
		return nil
	}
	ends := func(e tracker.Event) bool { return !e.Until.IsZero() }
	return slices.DeleteFunc(rec.Exchanges(swap.Code, m.At), ends)
}

// roundAbout says where the labels of an exchange are when it meets others: at the first instant
// at which it holds and is not all that was done to its two.
func (d *Desk) roundAbout(out *Outcome, fact tracker.Event) {
	begins := []time.Time{fact.At.Mid()}
	for _, e := range d.rec.Events() {
		ended := !fact.Until.IsZero() && !e.At.Mid().Before(fact.Until.Mid())
		if e.Kind == tracker.Exchanged && e.At.Mid().After(begins[0]) && !ended {
			begins = append(begins, e.At.Mid())
		}
	}
	slices.SortFunc(begins[1:], time.Time.Compare)
	for _, at := range begins {
		if codes := d.seats(fact, at); len(codes) != 2 || codes[0].Is != codes[1].Read {
			out.add(RoundAbout{at, codes})
			return
		}
	}
}

// seats follows the two labels of an exchange from specimen to label on it, until each is back.
func (d *Desk) seats(fact tracker.Event, at time.Time) (codes []Exchangee) {
	for _, word := range []string{fact.Code, fact.Other} {
		sp, _, _ := d.rec.Resolve(word) // it is on record
		for label := sp.Code.Whole(); !slices.ContainsFunc(codes, func(c Exchangee) bool { return c.Read == label.String() }); {
			is := d.rec.Meant(label, at)
			codes, label = append(codes, Exchangee{label.String(), is.String()}), is
		}
	}
	return codes
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
