package store

import (
	"errors"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Two who correct the same entry at once: the second finds it set aside, and
// its correction is not recorded. The same event again is no second one.
func TestTwoCorrectionsOfOneEntry(t *testing.T) {
	one, path := newStudy(t, 1, 1)
	two := mustOpen(t, path)
	_, before := mustHead(t, one)
	note := func(id, target string) tracker.Event {
		at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
		return tracker.Event{ID: id, Kind: tracker.Noted, Code: "1", At: schedule.At(at), Recorded: at, Note: id, Target: target}
	}
	mustRecord(t, one, note("entry", ""))
	mustState(t, two)
	mustRecord(t, one, note("first", "entry"))
	if _, err := two.Record(note("second", "entry")); !errors.Is(err, tracker.ErrSetAside) {
		t.Errorf("second correction: %v", err)
	}
	mustRecord(t, two, note("first", "entry"))
	if _, after := mustHead(t, two); after != before+2 {
		t.Errorf("%d events, want %d", after, before+2)
	}
}
