package plan

import (
	"strings"
	"testing"
)

// A warning that holds in several places is said once with its lines, each once.
// Errors stay one by one.
func TestRemarks(t *testing.T) {
	at := func(level, rule string, line int) Problem {
		return Problem{File: "p.toml", Column: 1, Level: level, Rule: rule, Line: line, Text: rule}
	}
	problems := []Problem{
		at(Warning, "shared bath", 31), at(Warning, "shared bath", 33), at(Warning, "pots", 20),
		at(Warning, "shared bath", 33), at(Warning, "shared bath", 36), at(Warning, "wood-floats", 0),
	}
	var texts []string
	for _, r := range Remarks(problems) {
		texts = append(texts, r.Sentence())
	}
	if got, want := strings.Join(texts, "; "), "p.toml:31:1: shared bath, also lines 33, 36; p.toml:20:1: pots"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if n := len(Remarks([]Problem{at(Error, "key", 3), at(Error, "key", 4)})); n != 2 {
		t.Errorf("two errors told as %d", n)
	}
}
