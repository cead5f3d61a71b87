package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker/tables"
)

// exported is a study with breaks, of which one was corrected and one taken back, and
// the folder that it was exported into.
func exported(t *testing.T) (study, dir string) {
	t.Helper()
	work := t.TempDir()
	study, dir = filepath.Join(work, "s.soaktag"), filepath.Join(work, "out é")
	plan := filepath.Join(work, "p.toml")
	text := `[study]
title = "Read elsewhere"
prefix = "TRF"
zone = "Europe/London"
[specimen]
bond = "40 mm x 45 mm"
[adhesive.CAS]
name = "casein"
[adhesive.EPX]
name = "epoxy"
[interval]
clamp = "24 h +/- 2 h"
cure = "at least 7 d"
[treatment.dry]
control = true
replicates = 4
[[rig]]
name = "press"
ram_area = "15.94 cm2"
gauge = { reads = "pressure", span = "25 MPa", division = "0.2 MPa", class = "1.6 %" }
`
	if err := os.WriteFile(plan, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	steps := [][]string{{"begin", plan, "--study", study}}
	run := func(args ...string) { steps = append(steps, append(args, "--study", study)) }
	run("log", "all", "--stage", "glue-up", "--at", "2026-03-01 09:00", "--note", "naïve; \"quoted\"\tand a tab", "--by", "Zoë")
	run("measure", "2", "bond_length=40.1 mm", "bond_width=1.75 in")
	for i, serial := range []string{"2", "3", "5", "6", "7", "8", "9", "10"} {
		run("break", serial, "--reading", fmt.Sprintf("%.1f MPa", 5+1.3*float64(i)), "--rig", "press", "--ended", "separated", "--wood-failure", fmt.Sprint(10*i))
	}
	run("amend", "correct", "last", "reading=900 psi", "--reason", "misread")
	run("amend", "void", "last", "--reason", "it was 5 that broke")
	run("break", "10", "--reading", "31 bar", "--rig", "press", "--ended", "separated", "--wood-failure", "0", "--at", "2026-04-11 12:30")
	run("export", dir)
	for _, args := range steps {
		if _, stderr, status := childRun(args, storyEnd); status != exitDone && status != exitAttention {
			t.Fatalf("%q: %d\n%s", args, status, stderr)
		}
	}
	return study, dir
}

// TestExportReadElsewhere has an export read by a program in another language that knows
// FORMAT.md alone: checksums and chain hold, and the groups come to the same strengths.
func TestExportReadElsewhere(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil || exec.Command(python, "-c", "import tomllib").Run() != nil {
		t.Skip("no python3 with tomllib here")
	}
	study, dir := exported(t)
	reader := filepath.Join("..", "..", "tracker", "tables", "testdata", "readexport.py")
	said, err := exec.Command(python, reader, dir).CombinedOutput()
	var groups map[string]struct {
		N    int
		Mean float64
	}
	if err != nil || json.Unmarshal(said, &groups) != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	stdout, _, _ := childRun([]string{"results", "--json", "--study", study}, storyEnd)
	var results tables.Results
	if err := json.Unmarshal([]byte(stdout), &results); err != nil {
		t.Fatal(err)
	}
	for _, g := range results.Groups {
		got := groups[g.Adhesive+" "+g.Treatment]
		if g.MeanSurvivors == nil || got.N != g.Broke+g.WoodLimited || math.Abs(got.Mean-*g.MeanSurvivors) > 1e-9 {
			t.Errorf("%s %s: %+v, results has %d and %v", g.Adhesive, g.Treatment, got, g.Broke+g.WoodLimited, *g.MeanSurvivors)
		}
	}
	if len(results.Groups) != 2 || len(groups) != 2 {
		t.Errorf("%d groups, %d read elsewhere", len(results.Groups), len(groups))
	}
	log := filepath.Join(dir, "log.jsonl")
	text, _ := os.ReadFile(log)
	if err := os.WriteFile(log, []byte(strings.Replace(string(text), "Zoë", "Zoé", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if said, err := exec.Command(python, reader, dir).CombinedOutput(); err == nil || !strings.Contains(string(said), "log.jsonl was changed") {
		t.Errorf("a changed log: %v, %s", err, said)
	}
}

// TestChecksumsOfExport asks the usual tool, where there is one, whether the checksums hold:
// whole, and with a file changed.
func TestChecksumsOfExport(t *testing.T) {
	tool, err := exec.LookPath("sha256sum")
	if err != nil {
		t.Skip("no sha256sum here")
	}
	_, dir := exported(t)
	check := func() error {
		cmd := exec.Command(tool, "--strict", "--quiet", "-c", "SHA256SUMS")
		cmd.Dir = dir
		return cmd.Run()
	}
	if err := check(); err != nil {
		t.Errorf("the checksums do not hold: %v", err)
	}
	sums, _ := os.ReadFile(filepath.Join(dir, "SHA256SUMS"))
	held, _ := os.ReadDir(dir)
	if lines := strings.Count(string(sums), "\n"); lines != len(held)-1 {
		t.Errorf("%d files listed, %d beside the list", lines, len(held)-1)
	}
	if err := os.WriteFile(filepath.Join(dir, "plan.toml"), []byte("title = 1"), 0o600); err != nil {
		t.Fatal(err)
	}
	if check() == nil {
		t.Error("a changed file passed")
	}
}
