package main

import (
	"cmp"
	"slices"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
	"soaktag/tracker/worksheet"
)

// The sheet for the break is in the order of soaktag next: what waits wet
// first, then board by board. What still lies in a bath is not on it.
func TestBreakSheetInTheOrderOfNext(t *testing.T) {
	b := newBench(t)
	b.run("", "log", "bath B1", "bath B2", "--stage", "glue-up")
	b.at = b.at.Add(24 * time.Hour)
	b.run("", "log", "bath B1", "bath B2", "--stage", "clamp removal")
	b.at = b.at.Add(15 * 24 * time.Hour)
	b.run("", "log", "bath B1", "bath B2", "--stage", "immersion")
	b.at = b.at.Add(7 * 24 * time.Hour)
	b.run("", "log", "bath B1", "--stage", "lift-out")
	db, err := store.Open(b.study, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	rows := worksheet.Sheets(rec, schedule.Break, b.at)[0].Rows
	wet := 0
	for i, row := range rows {
		life := rec.Life(row.Code)
		if life.InWater() {
			t.Errorf("%s is on the sheet and in the bath", row.Code)
		}
		if len(life.Spells) > 0 {
			wet++
			if i >= wet {
				t.Errorf("%s waits wet and stands behind a dry one", row.Code)
			}
		}
	}
	byBoard := func(a, b worksheet.Row) int { return cmp.Compare(a.Board, b.Board) }
	if wet == 0 || !slices.IsSortedFunc(rows[:wet], byBoard) || !slices.IsSortedFunc(rows[wet:], byBoard) {
		t.Errorf("%d wet, and not board by board: %v", wet, rows)
	}
	queue, _ := rec.BreakQueue(b.at)
	for i := range min(len(queue), wet) {
		if queue[i].Specimen.Code != rows[i].Code {
			t.Errorf("row %d is %s, next names %s", i+1, rows[i].Code, queue[i].Specimen.Code)
		}
	}
}
