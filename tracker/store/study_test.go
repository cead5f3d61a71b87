package store

import (
	"errors"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

var errPlan = errors.New("no plan")

// readPlan is a plan reader of a few lines: the real one needs TOML, which the
// store does not know.
func readPlan(text []byte) (tracker.Study, error) {
	if len(text) == 0 {
		return tracker.Study{}, errPlan
	}
	hours := func(n, tolerance time.Duration) schedule.Planned {
		return schedule.Planned{Kind: schedule.Target, Length: n * time.Hour, Early: tolerance * time.Hour, Late: tolerance * time.Hour}
	}
	return tracker.Study{
		Title: string(text), Prefix: "HBR", Zone: time.UTC, Text: text,
		Specimen:   tracker.SpecimenPlan{BondLength: 0.04, BondWidth: 0.025},
		Adhesives:  []tracker.Adhesive{{Key: "EPX", Name: "epoxy"}},
		Treatments: []tracker.Treatment{{Key: "soaked", Soaked: true, Replicates: 20}},
		Intervals: []schedule.Interval{
			{Name: "clamp", From: schedule.GlueUp, To: schedule.ClampRemoval, Planned: hours(24, 2)},
			{Name: "cure", From: schedule.ClampRemoval, To: schedule.Immersion, Planned: hours(168, 12)},
			{Name: "soak", From: schedule.Immersion, To: schedule.LiftOut, Planned: hours(384, 24)},
		},
	}, nil
}

// dealt is a deal of n specimens, all alike.
func dealt(n int) []tracker.Specimen {
	all := make([]tracker.Specimen, n)
	for i := range all {
		all[i] = tracker.Specimen{Code: labels.Code{Prefix: "HBR", Serial: i + 1}, Adhesive: "EPX", Treatment: "soaked", Order: i + 1}
	}
	return all
}

func begun(n int) tracker.Event {
	return tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(noon), Recorded: noon, By: "Anna",
		Plan: []byte("Oar loft"), Dealt: dealt(n), DealtBy: "seed 1"}
}

// stageEvent is the i-th scan of a study of n specimens: each goes through all
// stages in turn.
func stageEvent(i, n int) tracker.Event {
	stages := schedule.Stages()
	at := noon.Add(time.Duration(i) * time.Minute)
	return tracker.Event{ID: fmt.Sprintf("e%06d", i), Kind: tracker.Staged, At: schedule.At(at), Recorded: at, By: "Anna", Via: "scan",
		Code: labels.New("HBR", i%n+1).String(), Stage: stages[i/n%len(stages)]}
}

// newStudy makes a study of n specimens with so many events, the first included.
func newStudy(t testing.TB, n, events int) (*DB, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "study.soaktag")
	db, err := Create(path, begun(n), readPlan)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	all := make([]tracker.Event, 0, events)
	for i := range events - 1 {
		all = append(all, stageEvent(i, n))
	}
	mustRecord(t, db, all...)
	return db, path
}

func mustRecord(t testing.TB, db *DB, events ...tracker.Event) []tracker.Verdict {
	t.Helper()
	v, err := db.Record(events...)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func mustKeep(t testing.TB, db *DB, photo []byte, events ...tracker.Event) []tracker.Verdict {
	t.Helper()
	v, err := db.Keep(photo, events...)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// photosOf reads the photographs of an open study.
func photosOf(db *DB) PhotoReader {
	return func(sum, _ string) ([]byte, error) { return db.Photo(sum) }
}

func mustOpen(t testing.TB, path string) *DB {
	t.Helper()
	db, err := Open(path, readPlan)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	return db
}

func mustState(t testing.TB, db *DB) *tracker.Record {
	t.Helper()
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

func mustHead(t testing.TB, db *DB) (string, int64) {
	t.Helper()
	head, n, err := db.Head()
	if err != nil {
		t.Fatal(err)
	}
	return head, n
}

func newRecord() *tracker.Record { return tracker.NewRecord(readPlan) }
