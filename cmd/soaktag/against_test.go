package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// TestVerifyAgainst: a head that was printed finds where the log stood then, and that of a
// log which went on otherwise.
func TestVerifyAgainst(t *testing.T) {
	r := replay(t, demoStudy{})
	dir := t.TempDir()
	does := func(want int, args ...string) (string, string) {
		t.Helper()
		stdout, stderr, status := childRun(args, storyEnd)
		if status != want {
			t.Fatalf("%s: status %d, want %d\n%s%s", args, status, want, stdout, stderr)
		}
		return stdout, stderr
	}
	copied, other := filepath.Join(dir, "copy.soaktag"), filepath.Join(dir, "other.soaktag")
	said, _ := does(exitDone, "backup", copied, "--study", r.study)
	head := regexp.MustCompile(`head ([0-9a-f]{16})`).FindStringSubmatch(said)[1]
	says := func(want int, holds string, args ...string) {
		t.Helper()
		stdout, stderr := does(want, append([]string{"verify"}, args...)...)
		if !strings.Contains(stdout+stderr, holds) {
			t.Errorf("%q is not in:\n%s%s", holds, stdout, stderr)
		}
	}
	says(exitDone, ": all up to it is as it was then\n", r.study, "--against", head)
	does(exitDone, "restore", copied, "--study", other)
	for study, note := range map[string]string{r.study: "one", other: "two"} {
		does(exitAttention, "log", "1", "--stage", "planing", "--note", note, "--study", study)
	}
	says(exitDone, "all up to it is as it was then, and 1 event came since", r.study, "--against", strings.ToUpper(head[:12]))
	said, _ = does(exitDone, "verify", r.study)
	later := regexp.MustCompile(`head ([0-9a-f]{16})`).FindStringSubmatch(said)[1]
	says(exitFailed, "no event has the head "+later+": something up to it was changed or cut off since that was printed", other, "--against", later)
	says(exitFailed, `"ok":false`, other, "--against", later, "--json")
	says(exitRefused, "--against wants a head as it is printed", r.study, "--against", "loft")
}

// TestLossIsSaid: a study whose journal was thrown away while a program had it open says
// so at every command, and verify calls it damaged.
func TestLossIsSaid(t *testing.T) {
	r := replay(t, demoStudy{})
	db, err := store.Open(r.study, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	event := rec.Events()[5]
	event.ID = "another"
	if _, err := db.Record(event); err != nil {
		t.Fatal(err)
	}
	stdout, _, _ := childRun([]string{"status", "--study", r.study}, storyEnd)
	if want := "1 event still stands in the journal " + filepath.Base(r.study) + "-wal"; !strings.Contains(stdout, want) {
		t.Errorf("%q is not in:\n%s", want, stdout)
	}
	copied := filepath.Join(t.TempDir(), "copy.soaktag")
	for _, tail := range []string{"", "-head"} {
		bytes, err := os.ReadFile(r.study + tail)
		if err == nil {
			err = os.WriteFile(copied+tail, bytes, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, command := range []string{"due", "status"} {
		_, stderr, status := childRun([]string{command, "--study", copied}, storyEnd)
		if !strings.Contains(stderr, "1 event that was recorded is missing") || status != exitAttention {
			t.Errorf("%s: status %d\n%s", command, status, stderr)
		}
	}
	stdout, stderr, status := childRun([]string{"verify", copied}, storyEnd)
	if !strings.Contains(stdout, "copy.soaktag-lost") || status != exitFailed {
		t.Errorf("verify: status %d\n%s%s", status, stdout, stderr)
	}
}
