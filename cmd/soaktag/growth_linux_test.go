package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A size is how large a study of BenchmarkGrowth is.
type size struct{ events, specimens int }

// sizes grow once in events and once in specimens. With SOAKTAG_GROWTH=1000000 that many
// events come last, which takes minutes.
func sizes() []size {
	all := []size{{1000, 100}, {10_000, 1000}, {100_000, 9990}, {1000, 1000}, {100_000, 1000}}
	if n, err := strconv.Atoi(os.Getenv("SOAKTAG_GROWTH")); err == nil {
		all = append(all, size{n, 1000})
	}
	return all
}

// BenchmarkGrowth runs the program, one command after the other, in studies of growing size, and
// prints a table of processor seconds and of the most memory in MB. Run it with -benchtime 1x. No
// command may grow faster than n log n.
func BenchmarkGrowth(b *testing.B) {
	program := build(b, b.TempDir(), "soaktag", ".")
	for b.Loop() {
		var columns [][]string
		for _, of := range sizes() {
			columns = append(columns, grown(b, program, of))
		}
		fmt.Printf("\n%s\n", sideBySide(columns)) // a log is cut off
	}
}

// sideBySide writes columns as a table of Markdown, the first cell of each as its heading.
func sideBySide(columns [][]string) string {
	var text strings.Builder
	for row := range columns[0] {
		cells := []string{append([]string{"events / specimens"}, growing...)[row]}
		for _, column := range columns {
			cells = append(cells, column[row])
		}
		text.WriteString("| " + strings.Join(cells, " | ") + " |\n")
		if row == 0 {
			text.WriteString(strings.Repeat("|---", len(cells)) + "|\n")
		}
	}
	return text.String()
}

// growing are the commands as they are typed, each in the study that the last left. FILE is a name
// that is not taken, ROWS a table with one row a specimen.
var growing = []string{"due", "status", "next", "drift", "results", "report --out FILE.html", "history 17", "log 17 --note seen", "scan --stage immersion",
	"verify", "backup FILE.soaktag", "export FILE", "import ROWS", "megabytes"}

func grown(b *testing.B, program string, of size) []string {
	dir := b.TempDir()
	study := largeStudy(b, dir, of)
	column := []string{fmt.Sprintf("%d / %d", of.events, of.specimens)}
	for i, typed := range growing[:len(growing)-1] {
		typed = strings.NewReplacer("FILE", filepath.Join(dir, "made-"+strconv.Itoa(i)), "ROWS", filepath.Join(dir, "rows.csv")).Replace(typed)
		column = append(column, spent(b, program, append(strings.Fields(typed), "--study", study)...))
	}
	info, err := os.Stat(study)
	if err != nil {
		b.Fatal(err)
	}
	return append(column, fmt.Sprintf("%.1f", float64(info.Size())/1e6))
}

// spent runs a command and says what it took of processors and memory. What asks is no failure.
func spent(b *testing.B, program string, args ...string) string {
	b.Helper()
	if args[0] == "verify" || args[0] == "history" {
		args = append(args[:1:1], append(args[len(args)-2:], args[1:len(args)-2]...)...)
	}
	cmd := exec.Command(program, args...)
	cmd.Stdin = strings.NewReader("17\n")
	debug.FreeOSMemory()
	_ = os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) // a child begins with the most that its parent ever had
	var out bytes.Buffer
	cmd.Stderr = &out
	if err := cmd.Run(); err != nil && cmd.ProcessState.ExitCode() != exitAttention {
		b.Fatalf("%v: %v: %s", args, err, out.String())
	}
	usage := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	cpu := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return fmt.Sprintf("%.2f s, %d", cpu.Seconds(), int(math.Round(float64(usage.Maxrss)/1e3)))
}

const largePlan = `[study]
title = "grown"
prefix = "GRW"
zone = "UTC"
seed = 1
[specimen]
bond = "40 mm x 45 mm"
[interval]
clamp = "24 h +/- 2 h"
cure = "7 d +/- 1 d"
soak = "3 d +/- 4 h"
[treatment.dry]
control = true
replicates = REPLICATES
age = "as soaked"
[treatment.soaked]
water = "tap"
replicates = REPLICATES
state = "wet"
[[rig]]
name = "press"
ram_area = "15.94 cm2"
gauge = { reads = "pressure", span = "25 MPa", division = "0.2 MPa" }
`

// largeStudy makes a study of five adhesives: everything that happens to every specimen
// until it is broken, and remarks for what is left.
func largeStudy(b *testing.B, dir string, of size) string {
	b.Helper()
	text := strings.ReplaceAll(largePlan, "REPLICATES", strconv.Itoa(of.specimens/10))
	for i := range 5 {
		text += fmt.Sprintf("[adhesive.A%d]\nname = \"invented %d\"\n", i, i)
	}
	planned, study := filepath.Join(dir, "plan.toml"), filepath.Join(dir, "study.soaktag")
	if err := os.WriteFile(planned, []byte(text), 0o644); err != nil {
		b.Fatal(err)
	}
	mustRun(b, "", "begin", planned, "--study", study)
	db, err := store.Open(study, plan.Read)
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		b.Fatal(err)
	}
	rows := "specimen,stage,at\n"
	for _, s := range rec.Specimens() {
		rows += s.Code.String() + ",planing,2025-12-30 09:00\n"
	}
	if err := os.WriteFile(filepath.Join(dir, "rows.csv"), []byte(rows), 0o644); err != nil {
		b.Fatal(err)
	}
	events := livesOf(rec, of.events-1)
	if _, err := db.Record(events...); err != nil {
		b.Fatal(err)
	}
	return study
}

func livesOf(rec *tracker.Record, n int) []tracker.Event {
	hours := map[schedule.Stage]int{schedule.Cut: 0, schedule.Planing: 1, schedule.GlueUp: 2, schedule.ClampRemoval: 26, schedule.Immersion: 26 + 7*24,
		schedule.LiftOut: 26 + 10*24, schedule.Break: 26 + 10*24}
	from := time.Date(2026, 1, 1, 9, 0, 0, 0, time.UTC)
	events := make([]tracker.Event, 0, n)
	for round := 0; len(events) < n; round++ {
		for i, s := range rec.Specimens() {
			path := rec.Study().Path(s)
			e := tracker.Event{ID: fmt.Sprintf("event-%d-%d", round, i), Kind: tracker.Noted, Note: "looked at", Via: "scan", Code: s.Code.String()}
			at := from.Add(30 * schedule.Day).Add(time.Duration(len(events)) * time.Second)
			if round < len(path) {
				e.Kind, e.Stage, e.Note = tracker.Staged, path[round], ""
				at = from.Add(time.Duration(hours[e.Stage])*time.Hour + time.Duration(i)*time.Second)
			}
			if e.Stage == schedule.Break {
				e.Kind, e.Stage, e.Try = tracker.Tried, "", &tracker.Try{Rig: "press", Reading: fmt.Sprintf("%d.%d MPa", 5+i%7, i%10), How: tracker.Separated}
			}
			e.At, e.Recorded = schedule.At(at), at
			if events = append(events, e); len(events) == n {
				break
			}
		}
	}
	return events
}
