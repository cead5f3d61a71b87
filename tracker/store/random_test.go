package store

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// randomEvent is some entry about one of n specimens, by one of three devices.
func randomEvent(rng *rand.Rand, i, n int, before []tracker.Event) tracker.Event {
	e := stageEvent(rng.IntN(1000), n)
	e.ID, e.Count = fmt.Sprintf("r%04d", i), int64(i)
	e.Device = string(rune('A' + rng.IntN(3)))
	e.DeviceTime = rng.IntN(4) == 0
	if rng.IntN(5) == 0 {
		e.At.To = e.At.To.Add(time.Duration(rng.IntN(600)) * time.Minute)
	}
	switch rng.IntN(8) {
	case 0:
		wood := float64(rng.IntN(21) * 5)
		e.Kind, e.Stage, e.Try = tracker.Tried, "", &tracker.Try{Rig: "press", Reading: "9.6 MPa", How: tracker.Separated, WoodFailure: &wood, Mode: "mixed"}
	case 1:
		e.Kind, e.Stage, e.Values = tracker.Measured, "", []tracker.Value{{Name: "bond_length", Text: "40.1 mm"}, {Name: "mass_before", Text: "59.9 g"}}
	case 2:
		e.Kind, e.Stage, e.Code, e.Target = tracker.Voided, "", "", before[rng.IntN(len(before))].ID
	case 3:
		e.Kind, e.Stage, e.Other = tracker.Exchanged, "", stageEvent(rng.IntN(n), n).Code
		e.Until = schedule.At(e.At.From.Add(time.Hour))
	case 4:
		e.Kind, e.Stage, e.Code, e.DeviceTime, e.Shown = tracker.ClockSeen, "", "", false, e.At.From.Add(time.Duration(rng.IntN(90))*time.Minute)
	case 5:
		e.Kind, e.Stage, e.End, e.Note = tracker.Ended, "", tracker.Lost, "nowhere, \"gone\""
	}
	return e
}

// Export and restore rebuild the same log and the same record, whatever is in
// it; what is sent again changes nothing.
func TestRandomLogsSurviveExportAndResending(t *testing.T) {
	for seed := range uint64(atLength(25, 6)) {
		rng := rand.New(rand.NewPCG(seed, 11))
		db, path := newStudy(t, 6, 1)
		events := []tracker.Event{begun(6)}
		for i := range 49 {
			e := randomEvent(rng, i, 6, events)
			switch _, err := db.Record(e); {
			case errors.Is(err, tracker.ErrSetAside):
			case err != nil:
				t.Fatal(err)
			default:
				events = append(events, e)
			}
		}
		head, count, err := db.Head()
		if err != nil {
			t.Fatal(err)
		}
		rng.Shuffle(len(events), func(i, j int) { events[i], events[j] = events[j], events[i] })
		if _, err := db.Record(events...); err != nil {
			t.Fatal(err)
		}
		if again, n, _ := db.Head(); again != head || n != count {
			t.Fatalf("seed %d: sending everything again changed the log from %d events to %d", seed, count, n)
		}
		restored := restoreLog(t, db, filepath.Join(filepath.Dir(path), "again.soaktag"))
		if got, n, _ := restored.Head(); got != head || n != count {
			t.Errorf("seed %d: restored head %s of %d events, want %s of %d", seed, got, n, head, count)
		}
		sameRecord(t, seed, db, restored)
	}
}

func restoreLog(t *testing.T, from *DB, to string) *DB {
	t.Helper()
	var log bytes.Buffer
	head, count, err := from.WriteLog(&log)
	if err != nil {
		t.Fatal(err)
	}
	if err := RestoreLog(&log, to, readPlan, photosOf(from), head, count); err != nil {
		t.Fatal(err)
	}
	db, err := Open(to, readPlan)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	return db
}

func sameRecord(t *testing.T, seed uint64, a, b *DB) {
	t.Helper()
	x, err := a.State()
	if err != nil {
		t.Fatal(err)
	}
	y, err := b.State()
	if err != nil {
		t.Fatal(err)
	}
	later := noon.Add(5000 * time.Hour)
	if !reflect.DeepEqual(x.Lives(), y.Lives()) || !reflect.DeepEqual(x.Marks(), y.Marks()) || !reflect.DeepEqual(x.Drift(later), y.Drift(later)) {
		t.Errorf("seed %d: the restored record differs", seed)
	}
}
