package store

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A study is made from its first event; what Record returns without an error is
// on the disk. The same event again changes nothing.
func ExampleDB_Record() {
	dir, err := os.MkdirTemp("", "soaktag")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	db, err := Create(filepath.Join(dir, "loft.soaktag"), begun(2), readPlan)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer db.Close()
	at := noon.Add(24 * time.Hour)
	glued := tracker.Event{ID: "phone-1", Kind: tracker.Staged, At: schedule.At(at), Recorded: at,
		Code: dealt(2)[0].Code.String(), Stage: schedule.GlueUp}
	for range 2 {
		verdicts, err := db.Record(glued)
		if err != nil {
			fmt.Println(err)
			return
		}
		_, events, _ := db.Head()
		fmt.Println(verdicts[0].Specimen.Code, "next:", verdicts[0].Next.Stage, "events:", events)
	}
	// Output:
	// HBR-001-2 next: clamp removal events: 2
	// HBR-001-2 next: clamp removal events: 2
}
