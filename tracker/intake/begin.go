package intake

import (
	"time"

	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A Beginning is what begins a study: its plan, and the specimens dealt by it.
type Beginning struct {
	Plan    []byte // the plan file
	Dealt   []tracker.Specimen
	DealtBy string // "seed 20260221", or the file they came from
	By      string // who begins it
}

// Begin makes the study file at path, which must not be there yet. now is when.
func Begin(path string, b Beginning, now time.Time) error {
	e := Now(now)
	e.By = b.By
	begun := e.event(tracker.Begun)
	begun.Plan, begun.Dealt, begun.DealtBy = b.Plan, b.Dealt, b.DealtBy
	begun.Count = 0 // nothing can come before it
	db, err := store.Create(path, begun, plan.Read)
	if err != nil {
		return err
	}
	return db.Close()
}
