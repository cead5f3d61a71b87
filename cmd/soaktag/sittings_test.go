package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/labels/sheet/sheettest"
)

// ran is what a command says on a fixed day, in both streams.
func ran(t *testing.T, args ...string) (out, talk string) {
	t.Helper()
	return ranAt(t, time.Date(2026, 10, 10, 9, 0, 0, 0, time.UTC), args...)
}

// ranAt is what a command says at an instant.
func ranAt(t *testing.T, at time.Time, args ...string) (out, talk string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	now := func() time.Time { return at }
	if status := run(append([]string{"soaktag"}, args...), strings.NewReader(""), &stdout, &stderr, now); status == exitFailed || status == exitRefused {
		t.Fatalf("%v: status %d: %s", args, status, stderr.String())
	}
	return stdout.String(), stderr.String()
}

// planSitting is what the test reads of a sitting in check/1.
type planSitting struct {
	Number int    `json:"number"`
	FromAt string `json:"from"`
	ToAt   string `json:"to"`
	Bonds  []struct {
		Code, Adhesive string
		Clamps         []int
	} `json:"bonds"`
	Batches []struct {
		Adhesive string
		Bonds    int
	} `json:"batches"`
}

// TestOnePlanOfTheGlueUp reads the sittings of a study from the summary, the
// tables and the JSON of check and from the pages of the worksheet: they are the
// same, in the same order, at the same times, with as many pots.
func TestOnePlanOfTheGlueUp(t *testing.T) {
	plan, err := filepath.Abs("testdata/nine-evenings.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	text, _ := ran(t, "check", plan, "--json")
	var check struct {
		Sittings []planSitting
		Days     []struct {
			Stage, From, To string
			Bonds           int
		}
		Problems []struct{ Rule, Text, Hint string }
	}
	if err := json.Unmarshal([]byte(text), &check); err != nil || len(check.Sittings) != 9 {
		t.Fatalf("%v, %d sittings, want nine: 54 bonds in six clamps", err, len(check.Sittings))
	}
	full, talk := ran(t, "check", plan, "--full")
	for _, want := range []string{"glue in 9 sittings on 9 days"} {
		if !strings.Contains(talk, want) {
			t.Errorf("%q is not said in\n%s", want, talk)
		}
	}
	if !strings.Contains(full, "glue-up in 9 sittings on 9 days of up to 6 bonds, Sat 17 Oct to Sun 25 Oct") {
		t.Errorf("summary:\n%s", full)
	}
	pots := map[string]int{}
	for i, s := range check.Sittings {
		table := regexp.MustCompile(fmt.Sprintf(`(?m)^  %d +\w+ \d+ \w+ (\d\d:\d\d) to (\d\d:\d\d) +6 +.*  (.*)$`, s.Number)).FindStringSubmatch(full)
		if table == nil || table[1] != s.FromAt[11:16] || table[2] != s.ToAt[11:16] || table[3] != whoOf(s) {
			t.Errorf("sitting %d in the table: %q, in JSON %s to %s %s", i+1, table, s.FromAt, s.ToAt, whoOf(s))
		}
		for _, b := range s.Batches {
			pots[b.Adhesive]++
		}
	}
	for key, n := range pots {
		if !regexp.MustCompile(fmt.Sprintf(`(?m)^  %s +6 +459 lbf for 175 psi +%d +`, key, n)).MatchString(full) {
			t.Errorf("%s: %d pots in the sittings, others in the table of pots", key, n)
		}
	}
	glued := 0
	for _, d := range check.Days {
		if d.Stage == "glue-up" {
			if s := check.Sittings[glued]; d.From != s.FromAt || d.To != s.ToAt || d.Bonds != len(s.Bonds) {
				t.Errorf("day %+v, sitting %d %s to %s", d, s.Number, s.FromAt, s.ToAt)
			}
			glued++
		}
	}
	if glued != 9 {
		t.Errorf("%d days of glue-up, want nine", glued)
	}
	onPaper(t, plan, check.Sittings)
}

// whoOf writes a sitting as the table of check does.
func whoOf(s planSitting) string {
	var parts []string
	for i, b := range s.Bonds {
		if i == 0 || b.Adhesive != s.Bonds[i-1].Adhesive {
			parts = append(parts, b.Adhesive)
		}
		var serial int
		if _, err := fmt.Sscanf(b.Code, "SWG-%d", &serial); err != nil {
			return err.Error()
		}
		parts[len(parts)-1] += fmt.Sprintf(" %d", serial)
	}
	return strings.Join(parts, ", ")
}

// onPaper prints each sitting and reads its page.
func onPaper(t *testing.T, plan string, sittings []planSitting) {
	ran(t, "begin", plan, "--study", "s.soaktag")
	for _, s := range sittings {
		out := fmt.Sprintf("%d.pdf", s.Number)
		ran(t, "worksheet", "glue-up", "--study", "s.soaktag", "--sitting", fmt.Sprint(s.Number), "--out", out)
		pdf, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		words := sheettest.Words(t, pdf)
		rest := words
		for _, want := range append([]string{fmt.Sprintf("glue-up, sitting %d of 9", s.Number), s.FromAt[11:16]}, codesOf(s)...) {
			at := strings.Index(rest, want)
			if at < 0 {
				t.Errorf("page of sitting %d: %q is not there, or not in its place:\n%s", s.Number, want, words)
				break
			}
			rest = rest[at:]
		}
		if open := strings.Contains(words, "Assembly time: EPX open 15 min at most, closed 30 min at most."); open != strings.Contains(whoOf(s), "EPX") {
			t.Errorf("page of sitting %d of %s: assembly time %v", s.Number, whoOf(s), open)
		}
		if n := strings.Count(words, "SWG-"); n != len(s.Bonds) {
			t.Errorf("page of sitting %d: %d specimens, want %d", s.Number, n, len(s.Bonds))
		}
	}
	first := sittings[0]
	ran(t, "log", first.Bonds[0].Code, "--stage", "glue-up", "--at", "2026-10-09 18:05", "--study", "s.soaktag", "--yes")
	ran(t, "log", first.Bonds[2].Code, "--stage", "withdrawn", "--note", "cracked", "--study", "s.soaktag")
	ran(t, "worksheet", "glue-up", "--study", "s.soaktag", "--sitting", "1", "--out", "rest.pdf")
	pdf, err := os.ReadFile("rest.pdf")
	if err != nil {
		t.Fatal(err)
	}
	words := sheettest.Words(t, pdf) // laid out anew: six of those that are left
	if n := strings.Count(words, "SWG-"); n != 6 || strings.Contains(words, first.Bonds[0].Code) || strings.Contains(words, first.Bonds[2].Code) {
		t.Errorf("%d in sitting 1, want six, and none that is glued or withdrawn:\n%s", n, words)
	}
	all, _ := ran(t, "worksheet", "glue-up", "--study", "s.soaktag", "--out", "all.pdf")
	if !strings.Contains(all, "52 specimens, in the order to do them, in 9 sittings, a page each") {
		t.Error(all)
	}
}

func codesOf(s planSitting) (codes []string) {
	for _, b := range s.Bonds {
		codes = append(codes, b.Code)
	}
	return codes
}
