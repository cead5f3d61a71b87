package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A report on a past moment counts the events of the log whose head it names.
func TestReportAsItStood(t *testing.T) {
	r, dir := replay(t, demoStudy{}), t.TempDir()
	page := func(name string, more ...string) string {
		t.Helper()
		path := filepath.Join(dir, name)
		if _, stderr, status := childRun(append([]string{"report", "--study", r.study, "--out", path}, more...), storyEnd); status != exitDone {
			t.Fatalf("status %d\n%s", status, stderr)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	now := regexp.MustCompile(`from a log of (\d+) events with head hash ([0-9a-f]{64})`).FindStringSubmatch(page("now.html"))
	if now == nil {
		t.Fatal("no log is named")
	}
	then := "as it stood on 1 March 2026, 12:00 GMT; the log has " + now[1] + " events in all, head hash " + now[2]
	if !strings.Contains(page("then.html", "--as-of", "2026-03-01 12:00"), then) {
		t.Errorf("%q is missing", then)
	}
}

func TestReportIsAFile(t *testing.T) {
	t.Chdir(t.TempDir())
	_, stderr, status := childRun([]string{"report", "--out", "-"}, storyEnd)
	if _, err := os.Stat("-"); status != exitRefused || err == nil || !strings.Contains(stderr, "--out report.html") {
		t.Errorf("status %d, %v: %s", status, err, stderr)
	}
}
