package intake

import (
	"fmt"

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
// specimens that the amendment itself does not name. Marks on the event told
// already are left out.
func (d *Desk) asksNow(out *Outcome, before map[markKey]bool, told string) error {
	if err := d.readBack(); err != nil {
		return err
	}
	var asking []tracker.Mark
	for _, m := range d.rec.Marks() {
		if m.Open() && m.Event != told && !before[keyOf(m)] {
			asking = append(asking, m)
		}
	}
	if len(asking) > 0 {
		out.add(AsksNow{asking})
	}
	return nil
}

// revived tells whoever set a correction aside that the entry which it had
// replaced counts again.
func (d *Desk) revived(out *Outcome, gone tracker.Event) error {
	if gone.Target == "" || gone.Kind == tracker.Accepted {
		return nil
	}
	if err := d.readBack(); err != nil {
		return err
	}
	if old, ok := d.rec.Event(gone.Target); ok && !d.rec.Voided(old.ID) {
		out.add(CountsAgain{old})
	}
	return nil
}

func (d *Desk) readBack() error {
	if err := d.refresh(); err != nil {
		return fmt.Errorf("recorded, but not read back: %w", err)
	}
	return nil
}
