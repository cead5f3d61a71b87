package intake

import (
	"fmt"
	"slices"

	"soaktag/tracker"
)

// A markKey tells a mark from all others of a record.
type markKey struct{ event, rule, code string }

func keyOf(m tracker.Mark) markKey { return markKey{m.Event, string(m.Rule), m.Code} }

// asking lists what asks, to be compared with what asks after an amendment.
func (d *Desk) asking() map[markKey]bool {
	asking := map[markKey]bool{}
	for _, m := range d.rec.Marks() {
		if m.Open() {
			asking[keyOf(m)] = true
		}
	}
	return asking
}

// asksNow tells what asks only since an amendment: it may lie with events and
// specimens that the amendment itself does not name. Marks on the events told
// already are left out.
func (d *Desk) asksNow(out *Outcome, before map[markKey]bool, told ...tracker.Event) error {
	if err := d.readBack(); err != nil {
		return err
	}
	var asking []tracker.Mark
	for _, m := range d.rec.Marks() {
		known := slices.ContainsFunc(told, func(e tracker.Event) bool { return e.ID == m.Event })
		if m.Open() && !known && !before[keyOf(m)] {
			asking = append(asking, m)
		}
	}
	if len(asking) > 0 {
		out.add(AsksNow{asking})
	}
	return nil
}

// revived tells whoever set corrections aside that the entries which they had
// replaced count again.
func (d *Desk) revived(out *Outcome, gone []entry) error {
	var back []tracker.Event
	if err := d.readBack(); err != nil {
		return err
	}
	for _, e := range gone {
		old, ok := d.rec.Event(e.was.Target)
		if ok && e.was.Kind != tracker.Accepted && !d.rec.Voided(old.ID) {
			back = append(back, old)
		}
	}
	if len(back) > 0 {
		out.add(CountsAgain{back})
	}
	return nil
}

func (d *Desk) readBack() error {
	if err := d.refresh(); err != nil {
		return fmt.Errorf("recorded, but not read back: %w", err)
	}
	return nil
}
