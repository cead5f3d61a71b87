package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// metricWord is a unit that no person who thinks in inches, pounds and psi is
// shown. Grams are left out: fine scales are marked in them.
var metricWord = regexp.MustCompile(`\b([mkM]?Pa|kN|mm|cm|metres?|litres?|ml|kg)\b|[0-9]\s(N|m|L|l|C|bar)\b|\b[mck]?m[23²³]|[0-9]\s°C`)

// inchAsks are every command that shows something of a study, at the end of the
// story of the sleds. The name of a label stock stays as the stock is sold.
const inchAsks = `
outline starter.toml
check plan.toml
check plan.toml --full
check doubtful.toml --full
check missing.toml
status
status --as-of 2026-03-12T17:30:00Z
due
due --all
due --all --as-of 2026-03-01T19:00:00Z
due --all --as-of 2026-03-12T17:30:00Z
next
next --as-of 2026-03-12T17:30:00Z
drift
results
results --as-of 2026-03-13T00:00:00Z
history "pva wet 3"
history "epx wet 3"
history "cas dry 1"
history "cas wet 1"
accept
report --out report.html
report --slide --out slide.html
calendar --out due.ics
labels --stock "letter 3x10 66.7x25.4 gap 3.2x0" --out labels.pdf
labels --stock "a4 3x9 63.5x29.6" --cards letter --out cards.pdf
worksheet cut --out cut.pdf
worksheet planing --out planing.pdf
worksheet glue-up --out glue.pdf
worksheet "clamp removal" --out clamp.pdf
worksheet immersion --out immersion.pdf
worksheet lift-out --out lift.pdf
worksheet break --out break.pdf
worksheet faces --out faces.pdf
break dummy --reading "900 psi" --rig "shop press" --ended separated
measure "cas wet 1" bond_length="15 in"
break "cas dry 2" --reading "1100 psi" --rig "shop press" --ended stopped --at "2026-03-13 15:00"
break "cas dry 3" --reading "4100 lbf" --rig "long lever" --ended separated --at "2026-03-13 15:05"
log "pva dry 1" --stage cut
results
status
verify
`

// TestAPlanInInchesShowsNothingMetric: neither a screen nor a page, a sheet or
// a picture. Tables and JSON keep SI, and say so in their names.
func TestAPlanInInchesShowsNothingMetric(t *testing.T) {
	kept, err := filepath.Abs("testdata/before/sled")
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("SOAKTAG_STUDY", "s.soaktag")
	dir := t.TempDir()
	copyStudyFiles(t, kept, dir)
	t.Chdir(dir)
	writeDoubtful(t)
	inInches(t, "the story", tellStory(t, filepath.Join(kept, "story.txt")))
	for _, line := range strings.Split(strings.TrimSpace(inchAsks), "\n") {
		inInches(t, line, answer("2026-03-24T21:30:00Z", "", shellWords(line)))
	}
	for _, path := range filesOf(t, "*.html", "*.ics", "*.svg", "*.pdf") {
		inInches(t, path, wordsOfFile(t, path))
	}
}

// writeDoubtful writes plans that are warned of at length: one of a weak rig
// and of blanks whose ballast is not known, and one that lacks what it needs.
func writeDoubtful(t *testing.T) {
	t.Helper()
	text, err := os.ReadFile("plan.toml")
	if err != nil {
		t.Fatal(err)
	}
	doubtful := strings.NewReplacer(`species = "white ash"`, `species = "lignum of nowhere"`, `blank          = "2 in x 1 3/4 in x 3/4 in"`, "", `working_limit = "12 US ton"`, `working_limit = "100 lbf"`,
		`clamps         = 12`, "clamps = 12\nclamp_force = \"20 lbf\"").Replace(string(text))
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
