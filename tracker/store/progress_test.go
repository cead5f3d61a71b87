package store

import (
	"slices"
	"testing"

	"soaktag/tracker"
)

// Whoever waits is told of every few hundred events, and at last of all; what was
// told of an append that failed is on nobody's disk.
func TestProgressOfMany(t *testing.T) {
	db, _ := newStudy(t, 10, 1)
	var events []tracker.Event
	for i := range 2*tellEvery + 3 {
		events = append(events, stageEvent(i, 10))
	}
	var told []int
	db.Progress = func(done, of int) {
		if of != len(events) {
			t.Errorf("%d of %d, want of %d", done, of, len(events))
		}
		told = append(told, done)
	}
	if _, err := db.Record(events...); err != nil {
		t.Fatal(err)
	}
	if want := []int{0, tellEvery, 2 * tellEvery, len(events)}; !slices.Equal(told, want) {
		t.Errorf("told of %v, want %v", told, want)
	}
}
