package main

import (
	"bytes"
	"path/filepath"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

const smallPlan = `[study]
title = "x"
prefix = "TRF"
zone = "UTC"
[specimen]
bond = "40 mm x 45 mm"
[adhesive.A]
name = "a"
[adhesive.B]
name = "b"
[interval]
clamp = "24 h"
[treatment.dry]
replicates = 2`

// Two programs that add specimens at once deal different serials.
func TestAddingAtOnce(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.soaktag")
	now := time.Date(2026, 2, 21, 12, 0, 0, 0, time.UTC)
	begun := tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(now), Recorded: now, Plan: []byte(smallPlan)}
	db, err := store.Create(path, begun, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	const programs, rounds, each = 3, 5, 2
	dealt := make(chan labels.Code, programs*rounds*each)
	failed := make(chan error, programs)
	for range programs {
		go func() { failed <- addOften(path, now, rounds, each, dealt) }()
	}
	for range programs {
		if err := <-failed; err != nil {
			t.Error(err)
		}
	}
	close(dealt)
	seen := map[labels.Code]bool{}
	for c := range dealt {
		if seen[c] {
			t.Errorf("%s was dealt twice", c)
		}
		seen[c] = true
	}
	if rec, err := db.State(); err != nil || len(rec.Specimens()) != programs*rounds*each || len(seen) != len(rec.Specimens()) {
		t.Errorf("%v, %d said to be dealt, %d there", err, len(seen), len(rec.Specimens()))
	}
}

func addOften(path string, now time.Time, rounds, each int, dealt chan<- labels.Code) error {
	db, err := store.Open(path, plan.Read)
	if err != nil {
		return err
	}
	defer db.Close()
	var out bytes.Buffer
	b := &book{session: &session{stdout: &out, stderr: &out}, db: db, entry: entry{At: schedule.At(now), Recorded: now, Reason: "r"}}
	for range rounds {
		fact, err := b.dealMore(tracker.Specimen{Adhesive: "A", Treatment: "dry"}, each)
		if err != nil {
			return err
		}
		for _, sp := range fact.Dealt {
			dealt <- sp.Code
		}
	}
	return nil
}
