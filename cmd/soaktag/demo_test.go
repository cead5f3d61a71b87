package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"soaktag/cmd/soaktag/demo"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// The end of the story, when everything is in.
const storyEnd = "2026-04-11T12:00:00Z"

func TestDemoRuns(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "loft")
	stdout, stderr, status := childRun([]string{"demo", dir}, "2026-06-01T12:00:00Z")
	if status != exitDone {
		t.Fatalf("status %d\n%s", status, stderr)
	}
	_, findings, ok := strings.Cut(stdout, "== The findings that matter")
	if !ok {
		t.Fatalf("no findings in:\n%s", stdout)
	}
	for n := 1; n <= 7; n++ {
		if !strings.Contains(findings, fmt.Sprintf("\n%2d. ", n)) {
			t.Errorf("finding %d is missing in:\n%s", n, findings)
		}
	}
	for _, name := range []string{"oar-loft.toml", "oar-loft.soaktag", "labels.pdf", "export/results.csv",
		"export/log.jsonl", "backup.soaktag", "report.html", "slide.html", "README.md"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestDemoLeavesFullFoldersAlone(t *testing.T) {
	dir := t.TempDir()
	mine := filepath.Join(dir, "mine.txt")
	if err := os.WriteFile(mine, []byte("keep"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, _, status := childRun([]string{"demo", dir}, storyEnd); status != exitRefused {
		t.Errorf("status %d, want %d", status, exitRefused)
	}
	if held, err := os.ReadDir(dir); err != nil || len(held) != 1 {
		t.Errorf("%v, %d entries", err, len(held))
	}
}

// checkSum is one row of the table of sums of the invented study, worked out
// from demo.csv as gauge x 15.94 cm2 / (length x width), unrounded, with the
// fixture failure left out and wood-limited readings taken as they stand. The
// sums were made outside this program.
type checkSum struct {
	adhesive            string
	dry, dryN, drySD    string
	wet, wetN, wetSD    string
	dryWood, wetWood    string
	ratio, low, high    string
	paired, pLow, pHigh string
	pairs               int
	bound               string
	comparable          string
}

func TestDemoCheckSums(t *testing.T) {
	r := replay(t, demoStudy{}).results(t)
	for _, want := range []checkSum{
		{"RF", "13.69", "4", "0.73", "9.84", "4", "0.97", "96", "78", "71.9", "62.0", "83.3", "71.7", "62.9", "81.7", 4, "?", "true"},
		{"UF", "12.85", "4", "0.98", "6.81", "4", "0.61", "80", "38", "53.0", "45.8", "61.3", "53.0", "49.7", "56.5", 4, "<=", "true"},
		{"EPX", "13.21", "4", "0.66", "6.57", "4", "1.54", "81", "18", "49.7", "34.6", "71.6", "48.7", "33.3", "71.3", 4, "<=", "true"},
		{"PUR", "12.19", "3", "0.72", "6.10", "4", "0.62", "62", "9", "50.1", "42.7", "58.7", "51.8", "40.4", "66.3", 3, "=", ""},
		{"PVA", "12.79", "4", "0.44", "4.02", "4", "0.39", "72", "0", "31.5", "27.2", "36.4", "31.4", "28.0", "35.1", 4, "<=", "true"},
		{"CAS", "11.94", "4", "0.49", "2.26", "3", "0.26", "56", "0", "19.0", "14.6", "24.6", "19.1", "13.4", "27.2", 3, "=", "false"},
	} {
		t.Run(want.adhesive, func(t *testing.T) { want.compare(t, r) })
	}
	if cas := group(t, r, "CAS", "soaked"); number2(cas.Mean) != "1.70" {
		t.Errorf("casein with its zero: %s, want 1.70", number2(cas.Mean))
	}
}

func (want checkSum) compare(t *testing.T, r tables.Results) {
	dry, wet := group(t, r, want.adhesive, "dry"), group(t, r, want.adhesive, "soaked")
	same(t, "dry mean_survivors_mpa", number2(dry.MeanSurvivors), want.dry)
	same(t, "dry sd_survivors_mpa", number2(dry.SDSurvivors), want.drySD)
	same(t, "dry survivors", count(dry.Broke+dry.WoodLimited), want.dryN)
	same(t, "soaked mean_survivors_mpa", number2(wet.MeanSurvivors), want.wet)
	same(t, "soaked sd_survivors_mpa", number2(wet.SDSurvivors), want.wetSD)
	same(t, "soaked survivors", count(wet.Broke+wet.WoodLimited), want.wetN)
	same(t, "dry wood_failure_pct", halfEven(dry.WoodFailure), want.dryWood)
	same(t, "soaked wood_failure_pct", halfEven(wet.WoodFailure), want.wetWood)
	want.compareRetention(t, r)
}

func (want checkSum) compareRetention(t *testing.T, r tables.Results) {
	ret := retentionOf(t, r, want.adhesive)
	same(t, "retention.ratio", wording.Percent(ret.Ratio), want.ratio)
	same(t, "retention.low", wording.Percent(ret.Low), want.low)
	same(t, "retention.high", wording.Percent(ret.High), want.high)
	same(t, "retention.paired_ratio", wording.Percent(ret.PairedRatio), want.paired)
	same(t, "retention.paired_low", wording.Percent(ret.PairedLow), want.pLow)
	same(t, "retention.paired_high", wording.Percent(ret.PairedHigh), want.pHigh)
	same(t, "retention.pairs", count(ret.Pairs), count(want.pairs))
	same(t, "retention.bound", ret.Bound, want.bound)
	if want.comparable != "" {
		same(t, "retention.comparable", strconv.FormatBool(ret.Comparable), want.comparable)
	}
}

// TestDemoSpecimens compares every specimen with the truth of demo.csv.
func TestDemoSpecimens(t *testing.T) {
	r := replay(t, demoStudy{}).results(t)
	outcomes := map[string]string{"break": "broke", "wood_limited": "wood-limited", "fell_apart": "fell apart", "fixture_failure": "fixture failure"}
	text, err := demo.Files.ReadFile("demo.csv")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, row := range readRows(t, text) {
		name := strings.TrimPrefix(row["specimen_id"], "HB1-")
		sp := specimenNamed(t, r, name)
		same(t, name+" outcome", string(sp.Outcome), outcomes[row["outcome"]])
		if row["gauge_mpa"] != "" {
			near(t, name+" shear_mpa", sp.ShearMPa, row["shear_mpa"], 0.005)
			near(t, name+" reading", sp.Reading, row["gauge_mpa"], 1e-9)
		}
		seen++
	}
	same(t, "specimens", count(seen), "48")
}

// A demoStudy is the invented study with something taken out of it.
type demoStudy struct {
	rows  func(row map[string]string) bool // may change a row of events.csv; false drops it
	plan  func(text string) string
	amend func(line []string) []string // may change a line of amend; nil drops it
}

// A replayed study can be asked.
type replayed struct{ study string }

func replay(t *testing.T, d demoStudy) replayed {
	t.Helper()
	dir := t.TempDir()
	d.write(t, dir)
	r := replayed{filepath.Join(dir, "oar-loft.soaktag")}
	for _, a := range demo.Story(dir) {
		line := a.Args
		switch {
		case line[0] == "amend" && d.amend != nil:
			line = d.amend(line)
		case line[0] != "begin" && line[0] != "import" && line[0] != "amend":
			continue
		}
		if line == nil {
			continue
		}
		if _, stderr, status := childRun(line, a.At); status == exitFailed || status == exitRefused {
			t.Fatalf("%s: status %d\n%s", demo.CommandLine(line), status, stderr)
		}
	}
	return r
}

func (d demoStudy) write(t *testing.T, dir string) {
	t.Helper()
	for _, name := range []string{"oar-loft.toml", "specimens.csv", "events.csv"} {
		text, err := demo.Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if name == "events.csv" && d.rows != nil {
			text = editRows(t, text, d.rows)
		}
		if name == "oar-loft.toml" && d.plan != nil {
			text = []byte(d.plan(string(text)))
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// ask runs a reading command with --json and decodes its answer.
func (r replayed) ask(t *testing.T, into any, args ...string) {
	t.Helper()
	if err := demo.Answer(childRun).Read(into, storyEnd, append(args, "--json", "--study", r.study)...); err != nil {
		t.Fatal(err)
	}
}

func (r replayed) results(t *testing.T) (out tables.Results) {
	t.Helper()
	r.ask(t, &out, "results")
	return out
}

func (r replayed) drift(t *testing.T) (out tables.Drift) {
	t.Helper()
	r.ask(t, &out, "drift")
	return out
}

func (r replayed) history(t *testing.T, name string) (out tables.History) {
	t.Helper()
	r.ask(t, &out, "history", name)
	return out
}

func editRows(t *testing.T, text []byte, edit func(map[string]string) bool) []byte {
	t.Helper()
	rows := readRows(t, text)
	header, _, _ := strings.Cut(string(text), "\n")
	columns := strings.Split(strings.TrimSpace(header), ",")
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	lines := [][]string{columns}
	for _, row := range rows {
		if !edit(row) {
			continue
		}
		line := make([]string, len(columns))
		for i, column := range columns {
			line[i] = row[column]
		}
		lines = append(lines, line)
	}
	if err := w.WriteAll(lines); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func readRows(t *testing.T, text []byte) []map[string]string {
	t.Helper()
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%d rows: %v", len(all), err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, column := range all[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// shift moves the time of a row.
func shift(t *testing.T, row map[string]string, by time.Duration) {
	t.Helper()
	for _, column := range []string{"at", "recorded_at"} {
		if row[column] == "" {
			continue
		}
		at, err := time.Parse(time.RFC3339, row[column])
		if err != nil {
			t.Fatal(err)
		}
		row[column] = at.Add(by).Format(time.RFC3339)
	}
	if row["stage"] == "clock" {
		shown, err := time.Parse(time.RFC3339, row["reading"])
		if err != nil {
			t.Fatal(err)
		}
		row["reading"] = shown.Add(by).Format(time.RFC3339)
	}
}

func group(t *testing.T, r tables.Results, adhesive, treatment string) tables.Group {
	t.Helper()
	for _, g := range r.Groups {
		if g.Adhesive == adhesive && g.Treatment == treatment {
			return g
		}
	}
	t.Fatalf("no group %s %s", adhesive, treatment)
	return tables.Group{}
}

func retentionOf(t *testing.T, r tables.Results, adhesive string) tables.Retention {
	t.Helper()
	for _, ret := range r.Retention {
		if ret.Adhesive == adhesive {
			return ret
		}
	}
	t.Fatalf("no retention of %s", adhesive)
	return tables.Retention{}
}

func specimenNamed(t *testing.T, r tables.Results, name string) tables.Specimen {
	t.Helper()
	i := slices.IndexFunc(r.Specimens, func(sp tables.Specimen) bool { return string(sp.Name) == name })
	if i < 0 {
		t.Fatalf("no specimen %s", name)
	}
	return r.Specimens[i]
}

// number2 writes a number to the hundredth.
func number2(x *float64) string { return wording.Decimals(x, 2) }

func same(t *testing.T, what, got, want string) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %s, want %s", what, got, want)
	}
}

func near(t *testing.T, what string, got *float64, want string, within float64) {
	t.Helper()
	x, err := strconv.ParseFloat(want, 64)
	if err != nil {
		t.Fatal(err)
	}
	if got == nil || math.Abs(*got-x) > within+1e-9 {
		t.Errorf("%s: %s, want %s", what, wording.Decimals(got, 4), want)
	}
}

// halfEven rounds to a whole number, a half to the even one.
func halfEven(x *float64) string {
	if x == nil {
		return "-"
	}
	return strconv.FormatFloat(math.RoundToEven(*x), 'f', 0, 64)
}

func TestEvidenceIsJSON(t *testing.T) {
	r := replay(t, demoStudy{})
	for _, command := range []string{"status", "due", "next", "drift", "results"} {
		stdout, _, _ := childRun([]string{command, "--json", "--study", r.study}, storyEnd)
		var doc map[string]any
		if err := json.Unmarshal([]byte(stdout), &doc); err != nil {
			t.Errorf("%s: %v", command, err)
		}
		same(t, command, fmt.Sprint(doc["soaktag"]), command+"/1")
	}
}
