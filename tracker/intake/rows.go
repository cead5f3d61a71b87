package intake

import (
	"cmp"
	"fmt"

	"soaktag/tracker"
)

// A Rows is a form: a table of events, all of them or none. What the table
// leaves open the entry says; the same table twice adds nothing.
type Rows struct {
	Name   string          // of the file
	Events []tracker.Event // as package tables reads them
}

func (f Rows) take(d *Desk, out *Outcome) (err error) {
	if len(f.Events) == 0 {
		out.add(NoRows{f.Name})
		return nil
	}
	known, before := knownOf(d.rec, f.Events), openMarks(d.rec)
	if _, err := d.db.Record(d.completed(f.Events)...); err != nil {
		return err
	}
	out.add(Imported{f.Name, len(f.Events) - known, known})
	if err := d.reread(); err != nil {
		return err
	}
	if n := openMarks(d.rec); n > 0 {
		out.add(AsksSince{n, before})
	}
	return nil
}

// completed adds what the entry says where the table says nothing.
func (d *Desk) completed(events []tracker.Event) (all []tracker.Event) {
	for _, e := range events {
		e.By, e.Note, e.Via = cmp.Or(e.By, d.By), cmp.Or(e.Note, d.Note), cmp.Or(e.Via, "import")
		if e.Recorded.IsZero() {
			e.Recorded = d.Recorded
		}
		all = append(all, e)
	}
	return all
}

// knownOf counts the events that the record has already, or twice among them.
func knownOf(rec *tracker.Record, events []tracker.Event) int {
	known, seen := 0, map[string]bool{}
	for _, e := range events {
		if _, ok := rec.Event(e.ID); ok || seen[e.ID] {
			known++
		}
		seen[e.ID] = true
	}
	return known
}

func openMarks(rec *tracker.Record) int {
	n := 0
	for _, m := range rec.Marks() {
		if m.Open() {
			n++
		}
	}
	return n
}

// reread is refresh after something was recorded.
func (d *Desk) reread() error {
	if err := d.refresh(); err != nil {
		return fmt.Errorf("recorded, but not read back: %w", err)
	}
	return nil
}
