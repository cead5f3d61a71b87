package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "rewrite what is kept of answers")

// checked is what check says of a plan, both streams, as on a terminal.
func checked(t *testing.T, path string, flags ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	now := func() time.Time { return time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC) }
	if status := run(append([]string{"soaktag", "check", filepath.Base(path)}, flags...), strings.NewReader(""), &stdout, &stderr, now); status == exitFailed {
		t.Fatalf("status %d: %s", status, stderr.String())
	}
	return stderr.String() + stdout.String()
}

// The plan of somebody who does this for the first time, in inches, on a
// homemade frame: everything that will go wrong is said on 20 lines. The
// answer is kept beside the plan.
func TestCheckOfTheFirstTimer(t *testing.T) {
	kept, err := os.ReadFile("testdata/first-timer.txt")
	if err != nil && !*update {
		t.Fatal(err)
	}
	plan, err := filepath.Abs("testdata/first-timer.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir("testdata")
	got := checked(t, plan)
	if *update {
		if err := os.WriteFile("first-timer.txt", []byte(got), 0o600); err != nil {
			t.Fatal(err)
		}
	} else if got != string(kept) {
		t.Errorf("got\n%s\nwant\n%s", got, kept)
	}
	if n := strings.Count(got, "\n"); n > 20 {
		t.Errorf("%d lines, want 20 at most", n)
	}
	for _, want := range []string{`rig "frame" is 10 times too weak`, "one cannot rank", "blocks float", "6 clamps hold 6 of 18 bonds",
		"would fall on Tue 2026-05-05", "the beam", "mix at least", "no calendar keeps every limit", "there is one"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not said in\n%s", want, got)
		}
	}
}

// Five faults put into a sound plan, one by one and together: each is found.
func TestCheckFindsFiveFaults(t *testing.T) {
	text, err := os.ReadFile("demo/oar-loft.toml")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	all := string(text)
	for _, f := range []struct{ from, to, say string }{
		{`working_limit = "50 kN"`, `working_limit = "5 kN"`, "8.5 times too weak: the shear tool carries 5 kN"},
		{`clamps         = 48`, `clamps         = 10`, "10 clamps hold 10 of 48 bonds; glue in 5 sittings"},
		{`size = "2400 mm x 150 mm x 22 mm", moisture = "9.6 %" },` + "\n]", `size = "240 mm x 150 mm x 22 mm", moisture = "9.6 %" },` + "\n]", "board D gives 9 blanks, 28 are wanted"},
		{`soak          = "7 d +/- 4 h" `, `soak          = "8 d +/- 4 h" `, "outside the shop's hours"},
		{`replicates = 4` + "\nwater", `replicates = 1` + "\nwater", "one cannot rank"},
	} {
		if !strings.Contains(all, f.from) {
			t.Fatalf("%q is not in the plan", f.from)
		}
		one := strings.Replace(string(text), f.from, f.to, 1)
		all = strings.Replace(all, f.from, f.to, 1)
		for name, plan := range map[string]string{"one.toml": one, "all.toml": all} {
			if err := os.WriteFile(name, []byte(plan), 0o600); err != nil {
				t.Fatal(err)
			}
			if got := checked(t, name); !strings.Contains(got, f.say) {
				t.Errorf("%s: %q is not said in\n%s", name, f.say, got)
			}
		}
	}
}
