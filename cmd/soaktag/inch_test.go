package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// metricWord is a unit that no person who thinks in inches, pounds and psi is
// shown. Grams are left out: fine scales are marked in them.
var metricWord = regexp.MustCompile(`\b([mkM]?Pa|kN|mm|cm|metres?|litres?|ml|kg)\b|[0-9]\s(N|m|L|l|C|bar)\b|\b[mck]?m[23²³]|[0-9]\s°C`)

// inchSheets is what is printed of a study in inches before anything is done, and
// what is asked of a plan. The name of a label stock stays as the stock is sold.
const inchSheets = `
outline starter.toml
check plan.toml
check plan.toml --full
check doubtful.toml --full
check missing.toml
begin plan.toml --study fresh.soaktag
labels --study fresh.soaktag --stock "letter 3x10 66.7x25.4 gap 3.2x0" --cards --out labels.pdf
labels --study fresh.soaktag --stock "roll 50x25" --no-cards --out roll.pdf
labels --study fresh.soaktag --stock "a4 3x9 63.5x29.6" --trial --out trial.pdf
worksheet cut --study fresh.soaktag --out cut.pdf
worksheet cut --study fresh.soaktag --out cut.svg
worksheet planing --study fresh.soaktag --out planing.pdf
worksheet glue-up --study fresh.soaktag --out glue.pdf
worksheet "clamp removal" --study fresh.soaktag --out clamp.pdf
worksheet immersion --study fresh.soaktag --out immersion.pdf
worksheet lift-out --study fresh.soaktag --out lift.pdf
worksheet break --study fresh.soaktag --out break.pdf
due --all --study fresh.soaktag
`

// inchAsks are the other commands that show something of a study, at the end of
// the story of the sleds. What is broken again there
// gives a reading past the gauge and a size far from the plan.
const inchAsks = `
status
status --as-of 2026-03-12T17:30:00Z
due
due --all
due --all --as-of 2026-03-01T19:00:00Z
next --as-of 2026-03-12T17:30:00Z
break dummy --reading "900 psi" --rig "shop press" --ended separated
measure "cas wet 1" bond_length="15 in"
break "epx wet 2" --reading "930 psi" --rig "shop press" --ended separated --wood-failure 95 --at "2026-03-13 15:00"
break "cas dry 2" --reading "1100 psi" --rig "shop press" --ended stopped --at "2026-03-13 15:00"
break "cas dry 3" --reading "4100 lbf" --rig "long lever" --ended separated --at "2026-03-13 15:05"
log "pva dry 1" --stage cut
drift
results
results --as-of 2026-03-13T00:00:00Z
results --pool PVA,EPX
history "pva wet 3"
history "cas wet 1"
status
report --out report.html
report --slide --out slide.html
calendar --out due.ics
station --phones
verify
`

// TestAPlanInInchesShowsNothingMetric: neither a screen nor a page, a sheet or
// a picture. Tables and JSON keep SI, and say so in their names.
func TestAPlanInInchesShowsNothingMetric(t *testing.T) {
	kept, err := filepath.Abs("testdata/before/sled")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	copyStudyFiles(t, kept, dir)
	t.Chdir(dir)
	writeDoubtful(t)
	askInInches(t, "2026-03-01T18:00:00Z", inchSheets)
	t.Setenv("SOAKTAG_STUDY", "s.soaktag")
	inInches(t, "the story", tellStory(t, filepath.Join(kept, "story.txt")))
	askInInches(t, "2026-03-24T21:30:00Z", inchAsks)
	files := filesOf(t, "*.html", "*.ics", "*.svg", "*.pdf")
	if len(files) != 14 {
		t.Errorf("looked at %d files: %v", len(files), files)
	}
	for _, path := range files {
		inInches(t, path, wordsOfFile(t, path))
	}
}

// TestEveryCommandIsAskedInInches, so that a new one is: all but those that show no
// study of one's own, and those that read or keep it and say how many.
func TestEveryCommandIsAskedInInches(t *testing.T) {
	story, err := os.ReadFile("testdata/before/sled/story.txt")
	if err != nil {
		t.Fatal(err)
	}
	typed := inchSheets + inchAsks + string(story)
	for _, c := range (&session{}).commands() {
		if slices.Contains([]string{"demo", "clock", "scan", "read", "export", "backup", "restore"}, c.Name) {
			continue
		}
		if !strings.Contains(typed, "\n"+c.Name+" ") && !strings.Contains(typed, "\n"+c.Name+"\n") {
			t.Errorf("%s is not asked of a study in inches: add a line to inchAsks", c.Name)
		}
	}
}

// askInInches types lines, of which only a plan that lacks something is refused.
func askInInches(t *testing.T, at, lines string) {
	t.Helper()
	for _, line := range strings.Split(strings.TrimSpace(lines), "\n") {
		got := answer(at, "", shellWords(line))
		if strings.Contains(got, "-- status 2 --") != strings.Contains(line, "missing.toml") || strings.Contains(got, "-- status 1 --") {
			t.Errorf("%s\n%s", line, got)
		}
		inInches(t, line, got)
	}
}

// writeDoubtful writes two plans besides: one that is warned of at length, and one
// that lacks what it needs.
func writeDoubtful(t *testing.T) {
	t.Helper()
	text, err := os.ReadFile("plan.toml")
	if err != nil {
		t.Fatal(err)
	}
	doubtful := strings.NewReplacer(`species = "white ash"`, `species = "lignum of nowhere"`, `blank          = "2 in x 1 3/4 in x 3/4 in"`, "",
		`parts    = [{ name = "frame", working_limit = "12 US ton" }]`, `parts    = [{ name = "frame", working_limit = "100 lbf" }, { name = "chain" }]`+
			"\nstroke_volume = \"0.12 in3\"\ngive = \"1/4 in\"\nrate = \"0.2 in/min\"",
		`clamps         = 12`, "clamps = 12\nclamp_force = \"20 lbf\"",
		`name = "epoxy"`, "name = \"epoxy\"\nmix = \"100:12\"\npot_life = \"5 min\"",
		`state      = "wet"`, "state = \"wet\"\nexpected = { shear = \"900 psi\", source = \"an older study\" }").Replace(string(text))
	missing := regexp.MustCompile(`(?m)^(gauge|ram_area|parts|blank) .*$`).ReplaceAllString(string(text), "")
	for name, text := range map[string]string{"doubtful.toml": doubtful, "missing.toml": missing} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

func inInches(t *testing.T, what, text string) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if word := metricWord.FindString(line); word != "" {
			t.Errorf("%s shows %q: %s", what, word, line)
		}
	}
}

func filesOf(t *testing.T, patterns ...string) (paths []string) {
	t.Helper()
	for _, pattern := range patterns {
		found, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, found...)
	}
	return paths
}

// wordsOfFile is what a person reads in a file; of a PDF nothing where no
// reader of PDFs is installed.
func wordsOfFile(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	switch filepath.Ext(path) {
	case ".html", ".svg":
		return visibleWords(string(text))
	case ".pdf":
		reader, err := exec.LookPath("pdftotext")
		if err != nil {
			t.Logf("%s is not looked at: install pdftotext of poppler-utils", path)
			return ""
		}
		if text, err = exec.Command(reader, "-layout", path, "-").Output(); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
	}
	return string(text)
}
