package report_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
	"soaktag/tracker/report"
	"soaktag/tracker/tables"
)

// The end of the invented story, when everything is in.
var storyEnd = time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)

// ofDemo are options as the command would give them; the hash is made up.
func ofDemo() report.Options {
	return report.Options{At: storyEnd, Head: strings.Repeat("0123456789abcdef", 4), Events: 437}
}

func demoFile(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile("../../cmd/soaktag/demo/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func add(t testing.TB, r *tracker.Record, events ...tracker.Event) {
	t.Helper()
	for _, e := range events {
		if _, err := r.Add(e); err != nil {
			t.Fatal(err)
		}
	}
}

// begun is a study of a plan and a table of specimens, and nothing else.
func begun(t testing.TB, planText, specimens string) *tracker.Record {
	t.Helper()
	study, err := plan.Read([]byte(planText))
	if err != nil {
		t.Fatal(err)
	}
	dealt, _, err := tables.ReadSpecimens("specimens.csv", strings.NewReader(specimens), &study)
	if err != nil {
		t.Fatal(err)
	}
	r := tracker.NewRecord(plan.Read)
	start := storyEnd.AddDate(0, -3, 0)
	add(t, r, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(start), Recorded: start,
		Plan: []byte(planText), Dealt: dealt, DealtBy: "specimens.csv"})
	return r
}

func imported(t testing.TB, r *tracker.Record, events string) *tracker.Record {
	t.Helper()
	all, _, err := tables.ReadEvents("events.csv", strings.NewReader(events), r, storyEnd)
	if err != nil {
		t.Fatal(err)
	}
	add(t, r, all...)
	return r
}

// demo is the whole example study, both amendments included.
func demo(t testing.TB) *tracker.Record {
	t.Helper()
	r := imported(t, begun(t, demoFile(t, "oar-loft.toml"), demoFile(t, "specimens.csv")), demoFile(t, "events.csv"))
	day := func(month time.Month, day, hour, minute int) schedule.Span {
		return schedule.At(time.Date(2026, month, day, hour, minute, 0, 0, time.UTC))
	}
	add(t, r, tracker.Event{ID: "exchange", Kind: tracker.Exchanged, Code: "PVA-S2", Other: "PVA-D2", At: day(2, 21, 16, 30),
		Until: day(3, 10, 9, 30), Recorded: storyEnd, Reason: "board mark and pencil mark agree"},
		tracker.Event{ID: "relabel", Kind: tracker.Relabelled, Code: "UF-S1", Half: 1, Issue: 2, At: day(3, 17, 10, 11), Recorded: storyEnd,
			Reason: "lost in the bath"})
	return r
}

const onePlan = `[study]
title = "Four glues, one block each"
prefix = "HB"
zone = "Europe/London"
[wood]
species = "sugar maple"
[specimen]
bond = "40 mm x 45 mm"
[adhesive.A]
name = "casein"
[adhesive.B]
name = "urea-formaldehyde"
[adhesive.C]
name = "epoxy"
[adhesive.D]
name = "hide glue"
[interval]
clamp = "24 h +/- 2 h"
cure = "7 d +/- 1 d"
soak = "7 d +/- 4 h"
[treatment.dry]
control = true
replicates = 1
[treatment.soaked]
replicates = 1
state = "wet"
[[rig]]
name = "press"
ram_area = "15.94 cm2"
gauge = { reads = "pressure", span = "25 MPa", division = "0.2 MPa" }
`

// one is a study with one specimen of each, one in every box.
func one(t testing.TB) *tracker.Record {
	t.Helper()
	specimens, events := "name,adhesive,treatment,board\n", "specimen,stage,at,reading,rig,ended,wood_failure_pct\n"
	ends := map[string]string{"A-S": ",,fell apart,", "B-S": "6.8 MPa,press,separated,20", "C-S": "11 MPa,press,separated,95", "D-S": "4 MPa,press,fixture gave way,"}
	for i, a := range []string{"A", "B", "C", "D"} {
		specimens += fmt.Sprintf("%s-D,%s,dry,\n%s-S,%s,soaked,\n", a, a, a, a)
		day := func(name, stage string, n int, rest string) {
			events += fmt.Sprintf("%s-%s,%s,2026-03-%02dT10:%02d:00Z,%s\n", a, name, stage, n, i, rest)
		}
		for _, name := range []string{"D", "S"} {
			day(name, "glue-up", 1, ",,,")
			day(name, "clamp removal", 2, ",,,")
		}
		day("S", "immersion", 9, ",,,")
		day("S", "lift-out", 16, ",,,")
		day("S", "break", 16, ends[a+"-S"])
		day("D", "break", 16, "12.4 MPa,press,separated,40")
	}
	return imported(t, begun(t, onePlan, specimens), events)
}

func written(t testing.TB, r *tracker.Record, o report.Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := report.Write(&b, r, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// many is a study of ten adhesives, dry and soaked, with so many replicates
// of each. All of it is invented by a rule.
func many(t testing.TB, replicates int) *tracker.Record {
	t.Helper()
	text := strings.ReplaceAll(onePlan, "replicates = 1", fmt.Sprintf("replicates = %d", replicates))
	for _, key := range []string{"E", "F", "G", "H", "I", "J"} {
		text = strings.Replace(text, "[interval]", "[adhesive."+key+"]\nname = \"glue "+key+"\"\n[interval]", 1)
	}
	study, err := plan.Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	dealt := design.Allocate(&study)
	r := tracker.NewRecord(plan.Read)
	start := storyEnd.AddDate(0, -2, 0)
	add(t, r, tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(start), Recorded: start, Plan: []byte(text), Dealt: dealt, DealtBy: "seed"})
	for i, sp := range dealt {
		add(t, r, lived(i, sp, start)...)
	}
	return r
}

// lived is the life of the i-th of many specimens: every seventh soaks too
// long, every fifth breaks in the wood, every hundredth falls apart.
func lived(i int, sp tracker.Specimen, start time.Time) (events []tracker.Event) {
	code, day := sp.Code.String(), 24*time.Hour
	at := func(d time.Duration) schedule.Span { return schedule.At(start.Add(d + time.Duration(i)*time.Second)) }
	stage := func(s schedule.Stage, d time.Duration) {
		events = append(events, tracker.Event{ID: code + string(s), Kind: tracker.Staged, Code: code, Stage: s, At: at(d), Recorded: at(d).From})
	}
	stage(schedule.GlueUp, 0)
	stage(schedule.ClampRemoval, day)
	if sp.Treatment == "soaked" {
		stage(schedule.Immersion, 8*day)
		stage(schedule.LiftOut, 15*day+time.Duration(i%7/6)*9*time.Hour)
	}
	wood := float64(i * 13 % 75)
	if i%5 == 0 {
		wood = 95
	}
	try := tracker.Try{Rig: "press", Reading: fmt.Sprintf("%.1f MPa", 5+float64(i*37%80)/10), How: tracker.Separated, WoodFailure: &wood}
	if i%100 == 99 {
		try = tracker.Try{How: tracker.FellApart}
	}
	return append(events, tracker.Event{ID: code + "try", Kind: tracker.Tried, Code: code, At: at(16 * day), Recorded: at(16 * day).From, Try: &try})
}
