package store

import (
	"bytes"
	"errors"
	"path/filepath"
	"reflect"
	"testing"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

func amendedPlan(id string, serial int) tracker.Event {
	return tracker.Event{ID: id, Kind: tracker.PlanAmended, At: schedule.At(noon), Recorded: noon, Reason: "r", Plan: []byte("amended"),
		Dealt: []tracker.Specimen{{Code: labels.New("HBR", serial), Adhesive: "EPX", Treatment: "soaked", Order: serial, Parent: "HBR-002-Z"}}}
}

// An amended plan and what it deals survive the log and the backup, and move the
// file on, so that a program that knows nothing of amendments says "newer".
func TestAmended(t *testing.T) {
	db, path := newStudy(t, 10, 20)
	if format(t, path) != plainFormat {
		t.Fatal("it is not plain to begin with")
	}
	mustRecord(t, db, amendedPlan("p1", 11))
	var log bytes.Buffer
	head, n, err := db.WriteLog(&log)
	dir := t.TempDir()
	back, copied, again := filepath.Join(dir, "log.soaktag"), filepath.Join(dir, "backup.soaktag"), filepath.Join(dir, "again.soaktag")
	if err := errors.Join(err, RestoreLog(&log, back, readPlan, nil, head, n), db.Backup(copied), Restore(copied, again, readPlan)); err != nil {
		t.Fatal(err)
	}
	want := mustState(t, db)
	for _, p := range []string{path, back, again} {
		if r := Verify(p); r.Head != head || len(r.Problems) > 0 || format(t, p) != photoFormat {
			t.Errorf("%s: %+v, format %d", p, r, format(t, p))
		}
		got := mustState(t, mustOpen(t, p))
		if !reflect.DeepEqual(got.Specimens(), want.Specimens()) || string(got.Study().Text) != "amended" || len(got.Specimens()) != 11 {
			t.Errorf("%s: %d specimens, plan %q", p, len(got.Specimens()), got.Study().Text)
		}
	}
}

// A serial that another program dealt meanwhile is refused, and nothing of it kept.
func TestDealtTwice(t *testing.T) {
	db, path := newStudy(t, 10, 5)
	other := mustOpen(t, path)
	mustRecord(t, db, amendedPlan("p1", 11))
	if _, err := other.Record(amendedPlan("p2", 11)); !errors.Is(err, tracker.ErrDealt) {
		t.Fatalf("got %v", err)
	}
	mustRecord(t, other, amendedPlan("p3", 12))
	if n := len(mustState(t, db).Specimens()); n != 12 {
		t.Errorf("%d specimens", n)
	}
	if r := Verify(path); len(r.Problems) > 0 {
		t.Errorf("%+v", r)
	}
}
