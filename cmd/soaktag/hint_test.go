package main

import "testing"

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
