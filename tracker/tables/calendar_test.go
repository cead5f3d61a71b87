package tables_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	reader "github.com/emersion/go-ical" // a reader that is not ours and not the writer's

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/schedule/ical"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/tables"
)

// lotsPlan is a study of three adhesives in two tubs, invented for the test; its
// tolerances are filled in.
const lotsPlan = `[study]
title = "Lots"
prefix = "BAY"
zone = "America/New_York"
[specimen]
bond = "40 mm x 45 mm"
[adhesive.PUR]
name = "polyurethane"
bath = "T1"
[adhesive.EPS]
name = "epoxy"
bath = "T2"
[adhesive.RES]
name = "resorcinol"
bath = "T2"
[interval]
clamp = "24 h +/- %[1]d h"
cure = "5 d +/- %[2]d h"
soak = "7 d +/- %[1]d h"
"wet hold" = "at most 30 min"
[treatment.dry]
control = true
replicates = 3
age = "13 d +/- %[2]d h"
[treatment.soaked]
replicates = 3
state = "wet"
%[3]s`

// A lotBond is one bond of a study of lots, as the test knows it.
type lotBond struct {
	tracker.Specimen
	last schedule.Stage // gone through
	at   time.Time      // when
}

// lengths of lotsPlan by the stage that begins them.
var lengths = map[schedule.Stage]time.Duration{schedule.GlueUp: 24 * time.Hour, schedule.ClampRemoval: 5 * 24 * time.Hour, schedule.Immersion: 7 * 24 * time.Hour}

// window is when the next stage of a bond may be done, worked out here from the
// lengths of the plan: at the planned time, early or late by the tolerance.
func (b lotBond) window(short, long time.Duration) (opens, closes time.Time) {
	length, tolerance, from := lengths[b.last], short, b.at
	switch {
	case b.last == schedule.LiftOut: // the wet hold: at once
		return b.at, b.at.Add(30 * time.Minute)
	case b.last == schedule.ClampRemoval && b.Treatment == "dry":
		length, tolerance = 13*24*time.Hour, long
	case b.last == schedule.ClampRemoval:
		tolerance = long
	}
	return from.Add(length - tolerance), from.Add(length + tolerance)
}

// lotStudy glues bonds on several evenings and takes some of them further.
func lotStudy(t *testing.T, rng *rand.Rand, tolerances [2]int, hours string) (*tracker.Record, []lotBond) {
	r := tracker.NewRecord(plan.Read)
	began := time.Date(2026, 10, 17, 22, 0, 0, 0, time.UTC) // the clocks change on 1 November
	var bonds []lotBond
	for i := range 18 + rng.IntN(37) {
		sp := tracker.Specimen{Code: labels.New("BAY", i+1), Adhesive: []string{"PUR", "EPS", "RES"}[rng.IntN(3)], Treatment: []string{"dry", "soaked"}[rng.IntN(2)]}
		if sp.Treatment == "soaked" {
			sp.Bath = map[string]string{"PUR": "T1", "EPS": "T2", "RES": "T2"}[sp.Adhesive]
		}
		bonds = append(bonds, lotBond{Specimen: sp})
	}
	var dealt []tracker.Specimen
	for _, b := range bonds {
		dealt = append(dealt, b.Specimen)
	}
	add(t, r, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(began), Recorded: began,
		Plan: fmt.Appendf(nil, lotsPlan, tolerances[0], tolerances[1], hours), Dealt: dealt})
	evenings := 1 + rng.IntN(9)
	for i := range bonds {
		b := &bonds[i]
		at := began.Add(time.Duration(rng.IntN(evenings))*24*time.Hour + time.Duration(rng.IntN(180))*time.Minute)
		path := []schedule.Stage{schedule.GlueUp, schedule.ClampRemoval, schedule.Immersion, schedule.LiftOut}
		if b.Treatment == "dry" {
			path = path[:2]
		}
		for _, stage := range path[:1+rng.IntN(len(path))] {
			b.last, b.at = stage, at
			add(t, r, tracker.Event{ID: fmt.Sprint(b.Code, stage), Kind: tracker.Staged, Stage: stage, Code: b.Code.String(), At: schedule.At(at), Recorded: at, Via: "scan"})
			at = at.Add(lengths[stage] + time.Duration(rng.IntN(120)-60)*time.Minute)
		}
	}
	return r, bonds
}

// An entry is one of a calendar, as the other reader has it.
type entry struct {
	uid, summary, codes string
	start, end          time.Time
}

func readCalendar(t *testing.T, r *tracker.Record, now time.Time) (entries []entry) {
	t.Helper()
	var b bytes.Buffer
	if err := ical.Write(&b, tables.Calendar(r, now, 7), now, time.Hour); err != nil {
		t.Fatal(err)
	}
	cal, err := reader.NewDecoder(&b).Decode()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range cal.Events() {
		text := func(name string) string {
			s, err := e.Props.Text(name)
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		start, err := e.DateTimeStart(time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		end, err := e.DateTimeEnd(time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		entries = append(entries, entry{text("UID"), text("SUMMARY"), text("DESCRIPTION"), start, end})
	}
	return entries
}

// Over invented studies of lots: exactly one entry covers each specimen and its
// next step, inside its own window, and names all its adhesives or none.
func TestCalendarOfLots(t *testing.T) {
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 5))
		tolerances := [2]int{1 + rng.IntN(6), 1 + rng.IntN(48)}
		hours := []string{"", "[shop]\nhours = { mon = \"18:00-21:00\", tue = \"18:00-21:00\", wed = \"18:00-21:00\", sat = \"09:00-21:00\" }\n"}[rng.IntN(2)]
		r, bonds := lotStudy(t, rng, tolerances, hours)
		short, long := time.Duration(tolerances[0])*time.Hour, time.Duration(tolerances[1])*time.Hour
		entries := readCalendar(t, r, time.Date(2026, 10, 25, 12, 0, 0, 0, time.UTC))
		uids := map[string]bool{}
		for _, e := range entries {
			if uids[e.uid] {
				t.Errorf("seed %d: the UID %s twice", seed, e.uid)
			}
			uids[e.uid] = true
		}
		for _, b := range bonds {
			var covers []entry
			for _, e := range entries {
				if strings.Contains(e.codes, b.Code.String()) {
					covers = append(covers, e)
				}
			}
			next := map[schedule.Stage]schedule.Stage{schedule.GlueUp: schedule.ClampRemoval, schedule.Immersion: schedule.LiftOut,
				schedule.LiftOut: schedule.Break, schedule.ClampRemoval: schedule.Immersion}[b.last]
			if b.last == schedule.ClampRemoval && b.Treatment == "dry" {
				next = schedule.Break
			}
			if len(covers) != 1 || !strings.HasPrefix(covers[0].summary, "BAY: "+string(next)) {
				t.Fatalf("seed %d: %s, next %s, is in %d entries: %v", seed, b.Code, next, len(covers), covers)
			}
			e := covers[0]
			opens, closes := b.window(short, long)
			if e.start.Before(opens) || e.end.After(closes) || e.end.Before(e.start) {
				t.Errorf("seed %d: %s may have its %s from %v to %v; its entry is from %v to %v", seed, b.Code, next, opens, closes, e.start, e.end)
			}
			if strings.Contains(e.summary, "(") && !strings.Contains(e.summary, b.Adhesive) {
				t.Errorf("seed %d: %s is of %s: %s", seed, b.Code, b.Adhesive, e.summary)
			}
		}
		narrow(t, seed, entries, bonds, short, long)
	}
}

// narrow wants no entry to be shorter than half of the window of any of its
// specimens, as far as it begins when that opens: shop hours may cut it.
func narrow(t *testing.T, seed uint64, entries []entry, bonds []lotBond, short, long time.Duration) {
	for _, e := range entries {
		var opens, closes []time.Time
		for _, b := range bonds {
			if o, c := b.window(short, long); strings.Contains(e.codes, b.Code.String()) {
				opens, closes = append(opens, o), append(closes, c)
			}
		}
		for i := range opens {
			for j := range closes {
				if common := closes[j].Sub(opens[i]); common < closes[i].Sub(opens[i])/2 || common < closes[j].Sub(opens[j])/2 {
					t.Errorf("seed %d: %s: %v in common of windows of %v and %v", seed, e.summary, common, closes[i].Sub(opens[i]), closes[j].Sub(opens[j]))
				}
			}
		}
	}
}

// Three bonds of one bath, two glued 40 min apart on one evening, one on the
// next: two entries. An entry keeps its UID when its time moves and when others
// leave it.
func TestCalendarIsOneEntryALot(t *testing.T) {
	glued := []string{"2026-10-19 18:00", "2026-10-19 18:40", "2026-10-20 18:20"}
	adhesives := []string{"EPS", "RES", "RES"}
	build := func() *tracker.Record {
		r := tracker.NewRecord(plan.Read)
		began := time.Date(2026, 10, 17, 12, 0, 0, 0, time.UTC)
		var dealt []tracker.Specimen
		for i := range glued {
			dealt = append(dealt, tracker.Specimen{Code: labels.New("BAY", i+1), Adhesive: adhesives[i], Treatment: "soaked", Bath: "T2"})
		}
		add(t, r, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(began), Recorded: began, Plan: fmt.Appendf(nil, lotsPlan, 2, 4, ""), Dealt: dealt})
		for i, sp := range dealt {
			at, err := time.Parse("2006-01-02 15:04", glued[i])
			if err != nil {
				t.Fatal(err)
			}
			for n, stage := range []schedule.Stage{schedule.GlueUp, schedule.ClampRemoval} {
				then := at.Add(time.Duration(n) * 24 * time.Hour)
				add(t, r, tracker.Event{ID: fmt.Sprint(i, n), Kind: tracker.Staged, Stage: stage, Code: sp.Code.String(), At: schedule.At(then), Recorded: then, Via: "scan"})
			}
		}
		return r
	}
	r := build()
	now := time.Date(2026, 10, 22, 12, 0, 0, 0, time.UTC)
	first := readCalendar(t, r, now)
	// Clamps off 20 Oct 18:00 and 18:40, 21 Oct 18:20; five days later, 4 h either
	// way: 25 Oct 14:00 to 22:00 and 14:40 to 22:40 have 14:40 to 22:00 in common.
	var said []string
	for _, e := range first {
		said = append(said, fmt.Sprintf("%s, %s to %s", e.summary, e.start.Format("02 15:04"), e.end.Format("02 15:04")))
	}
	want := "BAY: immersion of bath T2 (EPS, RES), 2 specimens, 25 14:40 to 25 22:00; BAY: immersion of bath T2 (RES), 1 specimen, 26 14:20 to 26 22:20"
	if got := strings.Join(said, "; "); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	add(t, r, tracker.Event{ID: "gone", Kind: tracker.Ended, End: tracker.Lost, Code: labels.New("BAY", 2).String(), At: schedule.At(now), Recorded: now})
	again := readCalendar(t, r, now)
	if len(again) != 2 || again[0].uid != first[0].uid || again[1].uid != first[1].uid || strings.Contains(again[0].codes, "BAY-002") {
		t.Errorf("written again: %v, before %v", again, first)
	}
	if !again[0].start.Equal(first[0].start.Add(-40 * time.Minute)) { // alone it has its own window
		t.Errorf("the entry of the first begins %v", again[0].start)
	}
}
