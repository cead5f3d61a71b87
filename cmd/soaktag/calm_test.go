package main

import (
	"strings"
	"testing"

	"soaktag/tracker/plan"
)

// A warning that holds in several places is said once with its lines, each once,
// and begin counts what check says. Errors stay one by one.
func TestRemarks(t *testing.T) {
	at := func(level, rule string, line int) plan.Problem {
		return plan.Problem{Level: level, Rule: rule, Line: line, Text: rule}
	}
	problems := []plan.Problem{
		at(plan.Warning, "shared bath", 31), at(plan.Warning, "shared bath", 33), at(plan.Warning, "pots", 20),
		at(plan.Warning, "shared bath", 33), at(plan.Warning, "shared bath", 36), at(plan.Warning, "wood-floats", 0),
	}
	var texts []string
	for _, r := range remarks(problems) {
		texts = append(texts, r.Text+r.alsoAt())
	}
	if got, want := strings.Join(texts, "; "), "shared bath, also lines 33, 36; pots"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if n := warnings(problems); n != 2 {
		t.Errorf("%d warnings, want the 2 that are told", n)
	}
	if n := len(remarks([]plan.Problem{at(plan.Error, "key", 3), at(plan.Error, "key", 4)})); n != 2 {
		t.Errorf("two errors told as %d", n)
	}
}

// The same advice is given once a run.
func TestHintOnce(t *testing.T) {
	s, _, stderr := quiet()
	for range 3 {
		s.hint("see %s", "soaktag due")
	}
	s.hint("see soaktag next")
	if got, want := stderr.String(), "soaktag: hint: see soaktag due\nsoaktag: hint: see soaktag next\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
