package intake

import (
	"cmp"
	"fmt"
	"path/filepath"

	"soaktag/tracker"
)

// A Rows is a form: a table of events, all of them or none. What the table
// leaves open the entry says; the same table twice adds nothing.
type Rows struct {
	Name   string          // of the file
	Events []tracker.Event // as package tables reads them
	Dry    bool            // only say what would come of it

	Progress func(done, of int) // of recording; may be nil
}

func (f Rows) take(d *Desk, out *Outcome) (err error) {
	if len(f.Events) == 0 {
		out.add(NoRows{f.Name})
		return nil
	}
	events := d.completed(f)
	said, before, stood := f.counted(d.rec, events), openMarks(d.rec), footingOf(d.rec, events)
	after, err := d.imported(f, events)
	if err != nil {
		return err
	}
	out.add(said)
	if other, marks := f.exchangees(after, events); other.Events > 0 {
		out.add(other)
		sayExchanged(out, after, marks)
	}
	stood.sinceThen(out, after)
	if n := openMarks(after); n > 0 {
		out.add(AsksSince{n, before, f.Dry})
	}
	return nil
}

// imported is the record with the events of a table: recorded, or, of a dry run,
// only thought of.
func (d *Desk) imported(f Rows, events []tracker.Event) (*tracker.Record, error) {
	if f.Dry {
		return d.rec.With(events...)
	}
	d.db.Progress = f.Progress
	_, err := d.db.Record(events...)
	if d.db.Progress = nil; err != nil {
		return nil, meanwhile(err)
	}
	err = d.reread()
	return d.rec, err
}

// completed adds what the entry says where the table says nothing.
func (d *Desk) completed(f Rows) (all []tracker.Event) {
	for _, e := range f.Events {
		e.By, e.Note, e.Via = cmp.Or(e.By, d.By), cmp.Or(e.Note, d.Note), cmp.Or(e.Via, "import")
		if e.Recorded.IsZero() {
			e.Recorded = d.Recorded
		}
		if e.Target != "" {
			e.Reason = cmp.Or(d.Reason, filepath.Base(f.Name)+" says more of it")
		}
		all = append(all, e)
	}
	return all
}

// counted tells what the events of a table are to a record: new, corrections of
// what it has, or known to it already. An id that stands twice is known the second time.
func (f Rows) counted(rec *tracker.Record, events []tracker.Event) Imported {
	n, seen := Imported{Name: f.Name, Dry: f.Dry}, map[string]bool{}
	for _, e := range events {
		switch _, known := rec.Event(e.ID); {
		case known || seen[e.ID]:
			n.Known++
			if _, stands := rec.Stands(e.ID); known && !stands && !seen[e.ID] {
				n.Aside = append(n.Aside, setAside(rec, e.ID))
			}
		case e.Target != "":
			n.Fuller = append(n.Fuller, e)
		default:
			n.Added++
		}
		seen[e.ID] = true
	}
	return n
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

// setAside is what set an event aside.
func setAside(rec *tracker.Record, id string) (void tracker.Event) {
	for _, e := range rec.Events() {
		if e.Kind == tracker.Voided && e.Target == id && !rec.Voided(e.ID) {
			void = e
		}
	}
	return void
}
