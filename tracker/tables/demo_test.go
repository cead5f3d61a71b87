package tables_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/tables"
)

var now = time.Date(2026, 4, 11, 9, 0, 0, 0, time.UTC)

func file(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile("../../cmd/soaktag/demo/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// begun is the example study with its specimens and nothing else.
func begun(t testing.TB) *tracker.Record {
	t.Helper()
	text := []byte(file(t, "oar-loft.toml"))
	study, err := plan.Read(text)
	if err != nil {
		t.Fatal(err)
	}
	dealt, warnings, err := tables.ReadSpecimens("specimens.csv", strings.NewReader(file(t, "specimens.csv")), &study)
	if err != nil || len(warnings) > 0 || len(dealt) != 48 {
		t.Fatalf("specimens: %v, %v, %d", err, warnings, len(dealt))
	}
	r := tracker.NewRecord(plan.Read)
	add(t, r, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(now.AddDate(0, -3, 0)), Recorded: now.AddDate(0, -3, 0),
		Plan: text, Dealt: dealt, DealtBy: "specimens.csv"})
	return r
}

func add(t testing.TB, r *tracker.Record, events ...tracker.Event) (added int) {
	t.Helper()
	for _, e := range events {
		ok, err := r.Add(e)
		if err != nil {
			t.Fatal(err)
		}
		if ok {
			added++
		}
	}
	return added
}

func demoEvents(t testing.TB, r *tracker.Record) []tracker.Event {
	t.Helper()
	events, warnings, err := tables.ReadEvents("events.csv", strings.NewReader(file(t, "events.csv")), r, now)
	if err != nil || len(warnings) > 0 {
		t.Fatalf("events: %v, %v", err, warnings)
	}
	return events
}

// demo is the whole example study, both amendments included.
func demo(t testing.TB) *tracker.Record {
	t.Helper()
	r := begun(t)
	add(t, r, demoEvents(t, r)...)
	day := func(month time.Month, day, hour, minute int) schedule.Span {
		return schedule.At(time.Date(2026, month, day, hour, minute, 0, 0, time.UTC))
	}
	add(t, r, tracker.Event{ID: "exchange", Kind: tracker.Exchanged, Code: "PVA-S2", Other: "PVA-D2", At: day(2, 21, 16, 30),
		Until: day(3, 10, 9, 30), Recorded: now, Reason: "board mark and pencil mark agree"},
		tracker.Event{ID: "relabel", Kind: tracker.Relabelled, Code: "UF-S1", Half: 1, Issue: 2, At: day(3, 17, 10, 11), Recorded: now,
			Reason: "lost in the bath"})
	return r
}
