package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// The benchmarks here compare two things by turns within one run, which is what
// to trust on a machine that others use.

// manySpecimens makes a study of 1,200 specimens: the example's plan with more
// replicates and no boards.
func manySpecimens(b *testing.B, dir string) string {
	b.Helper()
	text, err := os.ReadFile("demo/oar-loft.toml")
	if err != nil {
		b.Fatal(err)
	}
	before, rest, _ := strings.Cut(string(text), "boards  = [")
	_, after, _ := strings.Cut(rest, "\n]\n")
	wide := strings.ReplaceAll(before+after, "replicates = 4", "replicates = 100")
	planned := filepath.Join(dir, "plan.toml")
	if err := os.WriteFile(planned, []byte(wide), 0o644); err != nil {
		b.Fatal(err)
	}
	study := filepath.Join(dir, "study.soaktag")
	mustRun(b, "", "begin", planned, "--study", study)
	return study
}

// mustRun runs a command in this process; that something asks is no failure.
func mustRun(b *testing.B, stdin string, args ...string) {
	b.Helper()
	var stdout, stderr bytes.Buffer
	now := func() time.Time { return time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC) }
	status := run(append([]string{"soaktag"}, args...), strings.NewReader(stdin), &stdout, &stderr, now)
	if status != exitDone && status != exitAttention {
		b.Fatalf("%v: status %d: %s", args, status, stderr.String())
	}
}

// fill records until a study holds so many events: every specimen goes through
// the first stages, and then gets notes.
func fill(b *testing.B, study string, events int) {
	b.Helper()
	db, err := store.Open(study, plan.Read)
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		b.Fatal(err)
	}
	_, held, err := db.Head()
	if err != nil {
		b.Fatal(err)
	}
	if _, err := db.Record(scansOf(rec.Specimens(), events-int(held))...); err != nil {
		b.Fatal(err)
	}
}

func scansOf(specimens []tracker.Specimen, n int) []tracker.Event {
	stages := []schedule.Stage{schedule.Cut, schedule.Planing, schedule.GlueUp, schedule.ClampRemoval}
	from := time.Date(2026, 2, 1, 9, 0, 0, 0, time.UTC)
	scans := make([]tracker.Event, n)
	for i := range scans {
		round, at := i/len(specimens), from.Add(time.Duration(i)*time.Minute)
		scans[i] = tracker.Event{ID: fmt.Sprintf("scan-%d", i), Kind: tracker.Noted, Note: "looked at", At: schedule.At(at),
			Recorded: at, Via: "scan", Code: specimens[i%len(specimens)].Code.String()}
		if round < len(stages) {
			scans[i].Kind, scans[i].Stage, scans[i].Note = tracker.Staged, stages[round], ""
		}
	}
	return scans
}

// BenchmarkLogOverEmptyRatio runs `log` once a time as a program of its own, in
// a study of 20,000 events, by turns with a program that does nothing. The
// target of ms-over-empty, the difference of the medians, is 100 ms.
func BenchmarkLogOverEmptyRatio(b *testing.B) {
	dir := b.TempDir()
	ours, empty := build(b, dir, "soaktag", "."), build(b, dir, "empty", emptyProgram(b, dir))
	study := manySpecimens(b, dir)
	fill(b, study, 20_000)
	code := labels.New("HBR", 17).String()
	const turns = 10 // so that one long turn does not decide
	var logged, nothing []float64
	for b.Loop() {
		for range turns {
			logged = append(logged, timed(b, ours, "log", code, "--stage", "immersion", "--study", study))
			nothing = append(nothing, timed(b, empty))
		}
	}
	b.ReportMetric((median(logged)-median(nothing))*1e3, "ms-over-empty")
	b.ReportMetric(median(logged)/median(nothing), "ratio")
}

func emptyProgram(b *testing.B, dir string) string {
	b.Helper()
	source := filepath.Join(dir, "empty.go")
	if err := os.WriteFile(source, []byte("package main\n\nfunc main() {}\n"), 0o644); err != nil {
		b.Fatal(err)
	}
	return source
}

func build(b *testing.B, dir, name, source string) string {
	b.Helper()
	program := filepath.Join(dir, name+".exe")
	if out, err := exec.Command("go", "build", "-o", program, source).CombinedOutput(); err != nil {
		b.Fatalf("build %s: %v: %s", name, err, out)
	}
	return program
}

// timed runs a program and returns how many seconds it took. Status 3 is
// expected: a repeated immersion asks.
func timed(b *testing.B, program string, args ...string) float64 {
	b.Helper()
	from := time.Now()
	out, err := exec.Command(program, args...).CombinedOutput()
	took := time.Since(from).Seconds()
	if exit, ok := err.(*exec.ExitError); err != nil && (!ok || exit.ExitCode() != exitAttention) {
		b.Fatalf("%v: %v: %s", args, err, out)
	}
	return took
}

// BenchmarkScanRatio scans 10,000 lines in one stream, between two streams of
// 1,000 lines in studies of their own, and compares the time a line. The target
// is 2.
func BenchmarkScanRatio(b *testing.B) {
	var long, short []float64
	for b.Loop() {
		short = append(short, scanLines(b, 1000))
		long = append(long, scanLines(b, 10_000))
		short = append(short, scanLines(b, 1000))
	}
	b.ReportMetric(median(long)*1e6, "long-µs/line")
	b.ReportMetric(median(short)*1e6, "short-µs/line")
	b.ReportMetric(median(long)/mean(short), "ratio")
}

// scanLines returns the seconds a line of a stream of n good lines.
func scanLines(b *testing.B, n int) float64 {
	b.Helper()
	study := manySpecimens(b, b.TempDir())
	var stream strings.Builder
	for i := range n {
		stream.WriteString(labels.New("HBR", i%900+1).String() + "\n")
	}
	from := time.Now()
	mustRun(b, stream.String(), "scan", "--stage", "glue-up", "--study", study)
	return time.Since(from).Seconds() / float64(n)
}

func median(series []float64) float64 {
	slices.Sort(series)
	return series[len(series)/2]
}

func mean(series []float64) float64 {
	sum := 0.0
	for _, x := range series {
		sum += x
	}
	return sum / float64(len(series))
}
