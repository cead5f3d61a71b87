package intake

import (
	"path/filepath"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A Beginning is what begins a study: its plan, and the specimens dealt by it.
type Beginning struct {
	Plan    []byte // the plan file
	Dealt   []tracker.Specimen
	DealtBy string        // "seed 20260221", or the file they came from
	By      string        // who begins it
	At      schedule.Span // when it began, where that was not now; of a range, with its beginning
}

// Begin makes the study file at path, which must not be there yet. now is when. A
// beginning in the future is a *Refusal.
func Begin(path string, b Beginning, now time.Time) error {
	e := Now(now)
	e.By = b.By
	switch from := b.At.From; {
	case from.After(e.Recorded), from.IsZero() && !b.At.IsZero():
		return refuse("a study begins now or at an earlier time; nothing made")
	case !b.At.IsZero():
		e.At, e.Timed = schedule.At(from), true
	}
	begun := e.event(tracker.Begun)
	begun.Plan, begun.Dealt, begun.DealtBy = b.Plan, b.Dealt, b.DealtBy
	begun.Count = 0 // nothing can come before it
	return store.Make(path, begun, plan.Read)
}

// A Namesake is another study whose labels read as those of one to be begun.
type Namesake struct {
	File, Title, Prefix string
}

// Namesakes lists the studies beside path that have a prefix already: a code is
// the prefix and a number, so that each label would mean two specimens. One that
// cannot be read is left out.
func Namesakes(path, prefix string) (all []Namesake) {
	dir := filepath.Dir(path)
	for _, name := range store.StudiesIn(dir) {
		db, err := store.OpenToRead(filepath.Join(dir, name), plan.Read)
		if err != nil {
			continue
		}
		if rec, err := db.State(); err == nil && rec.Study() != nil && rec.Study().Prefix == prefix {
			all = append(all, Namesake{name, rec.Study().Title, prefix})
		}
		db.Close()
	}
	return all
}
