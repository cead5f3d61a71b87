package wording

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// Single specimens of many adhesives that are due within an hour are one
// block; what is due later, or otherwise, has its own.
func TestDueInOneGo(t *testing.T) {
	ten := time.Date(2026, 5, 6, 10, 0, 0, 0, time.UTC)
	item := func(serial int, stage schedule.Stage, after time.Duration) tracker.Due {
		opens := ten.Add(after)
		return tracker.Due{Specimen: tracker.Specimen{Code: labels.New("TUB", serial), Adhesive: fmt.Sprintf("A%d", serial), Treatment: "dry"},
			Stage: stage, State: schedule.Due, Sure: true, Window: schedule.Window{Opens: opens, At: opens, Closes: opens.Add(2 * time.Hour)}}
	}
	var items []tracker.Due
	for i := range 10 {
		items = append(items, item(i+1, schedule.ClampRemoval, time.Duration(i)*10*time.Minute))
	}
	items = append(items, item(11, schedule.Immersion, 0))
	blocks := tracker.DueBlocks((&tracker.Study{Rule: tracker.Limits{Blind: true}, Zone: time.UTC}).GroupDue(items))
	if len(blocks) != 3 || len(blocks[0]) != 7 || len(blocks[2]) != 3 {
		t.Fatalf("%d blocks: %v", len(blocks), blocks)
	}
	if late := blocks[2][0].Items[0].Window.Opens; late != ten.Add(70*time.Minute) {
		t.Errorf("the last block begins %s", late)
	}
	said := dueSaid(&tracker.Study{Zone: time.UTC}, blocks[0])
	if said.Label != "DUE" || said.Title != "clamp removal: 7 specimens" || said.When != "" || said.Do != "take the clamps off" {
		t.Errorf("it says %q", said)
	}
	want := labels.New("TUB", 7).String() + ", A7 dry: from Wed 2026-05-06 11:00 UTC to Wed 2026-05-06 13:00 UTC"
	if !slices.Contains(said.Parts, DuePart{Says: want}) {
		t.Errorf("no %q in %q", want, said.Parts)
	}
}
