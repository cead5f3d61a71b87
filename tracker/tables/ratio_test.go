package tables_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
)

// BenchmarkStatisticsRatio works out all statistics of a study of 10,000
// specimens and compares the time with that of its CSV export, the statistics
// in there taken off. The target is 3.
func BenchmarkStatisticsRatio(b *testing.B) {
	r := thousands(b, 800) // 6 adhesives, dry and soaked
	b.Logf("%d specimens", len(r.Specimens()))
	var sums, rest time.Duration
	for b.Loop() {
		from := time.Now()
		strength.Results(r)
		took := time.Since(from)
		from = time.Now()
		if err := tables.WriteDir(b.TempDir(), tables.Export{Record: r, Now: storyEnd}); err != nil {
			b.Fatal(err)
		}
		sums, rest = sums+took, rest+time.Since(from)-took
	}
	b.ReportMetric(sums.Seconds()*1e3/float64(b.N), "statistics-ms")
	b.ReportMetric(sums.Seconds()/rest.Seconds(), "ratio")
}

var storyEnd = time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)

// thousands is a study with n specimens of each kind, all of them broken; one
// in five tore the wood.
func thousands(b *testing.B, n int) *tracker.Record {
	b.Helper()
	text, err := os.ReadFile("../../cmd/soaktag/demo/oar-loft.toml")
	if err != nil {
		b.Fatal(err)
	}
	before, rest, _ := strings.Cut(string(text), "boards  = [")
	_, after, _ := strings.Cut(rest, "\n]\n")
	wide := strings.ReplaceAll(before+after, "replicates = 4", fmt.Sprint("replicates = ", n))
	study, err := plan.Read([]byte(wide))
	if err != nil {
		b.Fatal(err)
	}
	r := tracker.NewRecord(plan.Read)
	begun := tracker.Event{ID: "begun", Kind: tracker.Begun, At: schedule.At(storyEnd.AddDate(0, -2, 0)), Recorded: storyEnd, Plan: []byte(wide), Dealt: design.Allocate(&study)}
	rng := rand.New(rand.NewPCG(1, 2))
	for _, e := range append([]tracker.Event{begun}, lived(begun.Dealt, rng)...) {
		if _, err := r.Add(e); err != nil {
			b.Fatal(err)
		}
	}
	return r
}

func lived(dealt []tracker.Specimen, rng *rand.Rand) (events []tracker.Event) {
	start := storyEnd.AddDate(0, -1, -10)
	for i, s := range dealt {
		add := func(after time.Duration, e tracker.Event) {
			e.ID, e.Code, e.At = fmt.Sprint(i, e.Kind, e.Stage), s.Code.String(), schedule.At(start.Add(after))
			e.Recorded = e.At.From
			events = append(events, e)
		}
		stage := func(after time.Duration, stage schedule.Stage) {
			add(after, tracker.Event{Kind: tracker.Staged, Stage: stage})
		}
		const day = 24 * time.Hour
		stage(0, schedule.GlueUp)
		stage(day, schedule.ClampRemoval)
		if s.Treatment == "soaked" {
			stage(15*day, schedule.Immersion)
			stage(22*day, schedule.LiftOut)
		}
		wood := float64(rng.IntN(100))
		add(22*day+10*time.Minute, tracker.Event{Kind: tracker.Tried, Try: &tracker.Try{Rig: "press", How: tracker.Separated,
			Reading: fmt.Sprintf("%.1f MPa", 8+4*rng.Float64()), WoodFailure: &wood}})
	}
	return events
}
