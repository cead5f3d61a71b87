package main

import (
	"fmt"

	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// askingNow lists what asks, to be compared with what asks after an amendment.
func (b *book) askingNow() map[string]bool {
	asking := map[string]bool{}
	for _, m := range b.rec.Marks() {
		if m.Open() {
			asking[markKey(m)] = true
		}
	}
	return asking
}

func markKey(m tracker.Mark) string { return m.Event + "|" + string(m.Rule) + "|" + m.Code }

// sayNewMarks prints what asks only since an amendment: it may lie with events
// and specimens that the amendment itself does not name. Marks on the event told
// already are left out.
func (b *book) sayNewMarks(before map[string]bool, told string) error {
	rec, err := b.db.State()
	if err != nil {
		return fmt.Errorf("recorded, but not read back: %w", err)
	}
	var asking []tracker.Mark
	for _, m := range rec.Marks() {
		if m.Open() && m.Event != told && !before[markKey(m)] {
			b.say("%s", wording.Mark(m))
			asking = append(asking, m)
		}
	}
	if len(asking) > 0 {
		b.hint("kept, and asks now: put it right with soaktag amend, or %s", wording.AcceptCommand(asking))
	}
	return nil
}
