package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// An addition is what DEVELOPERS.md says is to be written for something new:
// files, and in each what goes before which words.
type addition map[string][][2]string

// additions are one of each kind that is added now and then. No other file may
// have to know of them.
var additions = map[string]addition{
	"a stage": {
		"schedule/stage.go": {{"{stage: Immersion, wet: true},", `{stage: "conditioning"},`}},
		"tracker/work.go": {{"{\n\tStage: schedule.Immersion,", `{Stage: "conditioning", Do: "rest it in the climate of the trial", Hands: toHandle, Order: ByBath,
			Boxes: []string{"time", "mass"}, Danger: "rusty shelf", Caution: "Heavy racks tip over.", Briefly: []string{"fix the racks to the wall"}}, `}},
	},
	"an at-least ending": {
		"tracker/ending.go": {{"{how: BottomedOut, reading: unread, ", `{how: "hose burst", reading: wanted, outlast: true, outcome: "hose failure"},`}},
	},
	"a kind of censoring": {
		"tracker/stat/bound.go": {
			{"Zero                 // nothing was measured", "About // the true value is near this\n\t"},
			{`Zero:    {word: "zero", sign: "="},`, `About: {word: "about", sign: "~", glyph: "~", phrase: "about", measured: true},`},
		},
		"tracker/stat/shape.go": {{"Exact, AtLeast}", "About, "}},
		"tracker/strength/outcome.go": {{"b.state(t)\n\tb.load(t)", `if t.State == "part-dried" {
			s.Bound = stat.About
		}
		`}},
	},
	"a table": {
		"tracker/tables/happened.go": {{"// A told is an event", `func boardTable(r *tracker.Record) table {
			return newTable("boards", "every board", []column[tracker.Board]{words("board", "its name", func(b tracker.Board) string { return b.Name })}, r.Study().Wood.Boards)
		}

		`}},
		"tracker/tables/write.go": {{"specimenTable(in.Record), eventTable", "boardTable(in.Record), "}},
	},
}

// mostPlaces is how many files an addition may touch.
const mostPlaces = 3

// TestAdding adds one of each and nothing else, builds the program and follows
// them through it.
func TestAdding(t *testing.T) {
	for what, files := range additions {
		if len(files) > mostPlaces {
			t.Errorf("%s touches %d files, at most %d", what, len(files), mostPlaces)
		}
	}
	if os.Getenv("SOAKTAG_CI") != "1" {
		t.Skip("builds the program anew: run with SOAKTAG_CI=1")
	}
	dir := t.TempDir()
	build := exec.Command("go", "build", "-overlay", overlay(t, dir), "-o", filepath.Join(dir, "soaktag"), ".")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	follow(t, dir)
}

// overlay writes the files with the additions, and the list of them for go build.
func overlay(t *testing.T, dir string) string {
	t.Helper()
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	replace := map[string]string{}
	for _, files := range additions {
		for file, places := range files {
			from, to := filepath.Join(root, file), filepath.Join(dir, strings.ReplaceAll(file, "/", "_"))
			replace[from] = withRows(t, from, to, places)
		}
	}
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(list, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return list
}

// withRows copies a source file with something put before each of the places.
func withRows(t *testing.T, from, to string, places [][2]string) string {
	t.Helper()
	text, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	source := string(text)
	for _, p := range places {
		if strings.Count(source, p[0]) != 1 {
			t.Fatalf("%s has no one place for %q", from, p[0])
		}
		source = strings.Replace(source, p[0], p[1]+p[0], 1)
	}
	if err := os.WriteFile(to, []byte(source), 0o600); err != nil {
		t.Fatal(err)
	}
	return to
}

// follow takes a study through what was added and wants it wherever its kind is.
func follow(t *testing.T, dir string) {
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
		{"break HBR-004-V --reading 900_psi --ended hose_burst", "at least 5.5 MPa"},
		{"results --json", `"outcome":"hose failure","bound":"at_least"`},
		{"break HBR-005-T --reading 950_psi --ended separated --state part-dried", "recorded"},
		{"results --json", `"bound":"about"`},
		{"export tables", "tables"},
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
	if text, err := os.ReadFile(filepath.Join(dir, "tables", "boards.csv")); err != nil || !strings.HasPrefix(string(text), "board\n") {
		t.Errorf("boards.csv: %q, %v", text, err)
	}
}
