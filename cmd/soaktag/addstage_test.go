package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestAddingAStage adds a stage that every study has: a row in the table of the
// clock and one in the table of the work, and nothing else. What every room says
// of it follows from them.
func TestAddingAStage(t *testing.T) {
	if os.Getenv("SOAKTAG_CI") != "1" {
		t.Skip("builds the program anew: run with SOAKTAG_CI=1")
	}
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	overlay := map[string]map[string]string{"Replace": {}}
	for file, row := range map[string][2]string{
		"schedule/stage.go": {"{stage: Immersion, wet: true},", `{stage: "conditioning"},` + "\n\t{stage: Immersion, wet: true},"},
		"tracker/work.go":   {"{\n\tStage: schedule.Immersion,", `{Stage: "conditioning", Do: "rest it in the climate of the trial", Hands: toHandle, Order: ByBath, Boxes: []string{"time", "mass"}, Danger: "rusty shelf", Caution: "Heavy racks tip over.", Briefly: []string{"fix the racks to the wall"}}, {` + "\n\tStage: schedule.Immersion,"},
	} {
		overlay["Replace"][filepath.Join(root, file)] = withRow(t, filepath.Join(root, file), filepath.Join(dir, filepath.Base(file)), row)
	}
	text, err := json.Marshal(overlay)
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(list, text, 0o600); err != nil {
		t.Fatal(err)
	}
	build := exec.Command("go", "build", "-overlay", list, "-o", filepath.Join(dir, "soaktag"), ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	followConditioning(t, dir)
}

// withRow copies a source file with one row put before another.
func withRow(t *testing.T, from, to string, row [2]string) string {
	t.Helper()
	text, err := os.ReadFile(from)
	if err != nil || strings.Count(string(text), row[0]) != 1 {
		t.Fatalf("%s has no one place for %q: %v", from, row[0], err)
	}
	if err := os.WriteFile(to, []byte(strings.Replace(string(text), row[0], row[1], 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	return to
}

// followConditioning takes a study through the stage and wants it wherever stages are.
func followConditioning(t *testing.T, dir string) {
	plan, err := filepath.Abs("demo/oar-loft.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range []struct{ say, want string }{
		{"check " + plan, "rusty shelf"},
		{"check " + plan + " --full", "conditioning   fix the racks to the wall"},
		{"begin " + plan + " --study s.soaktag", ""},
		{"labels --cards --stock a4_3x9_63.5x29.6 --out cards.pdf", "17 cards"},
		{"worksheet conditioning --out c.pdf", "conditioning, 48 specimens"},
		{"worksheet break --out b.pdf", "break, 48 specimens"},
		{"log HBR-003-X --stage glue-up --at 2026-02-21_10:00", "recorded"},
		{"log HBR-003-X --stage clamp_removal --at 2026-02-22_10:00", "recorded"},
		{"history HBR-003-X --as-of 2026-02-22_11:00", "next: conditioning"},
		{"log HBR-003-X --stage Conditioning --at 2026-02-23_10:00", "recorded"},
		{"status --as-of 2026-02-24_10:00", "conditioning      1  48"},
		{"history HBR-003-X", "conditioning"},
	} {
		var words []string
		for _, w := range strings.Fields(step.say) {
			words = append(words, strings.ReplaceAll(w, "_", " "))
		}
		run := exec.Command(filepath.Join(dir, "soaktag"), words...)
		run.Dir, run.Env = dir, append(os.Environ(), "SOAKTAG_STUDY=s.soaktag")
		out, err := run.CombinedOutput()
		if !strings.Contains(string(out), step.want) || strings.Contains(string(out), "error") {
			t.Errorf("%s: %q is not said: %v\n%s", step.say, step.want, err, out)
		}
	}
}
