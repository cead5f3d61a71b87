package main

import (
	"fmt"
	"strings"
	"testing"
)

// TestProofOfTrialLabels: they are judged as the others are, and those of
// another study are told from those that nobody can see.
func TestProofOfTrialLabels(t *testing.T) {
	s := newShoot(t)
	path := s.put("trial.jpg", snapshot(t, phone("2026:02:21 08:30:00"), ".TRIAL01", ".TRIAL02", ".TRIAL04"))
	_, stderr := s.run(exitDone, "labels", "--proof", path)
	s.want(stderr, "3 labels of another study: TRIAL-01, TRIAL-02, TRIAL-04\n", "--proof "+path+" --study FILE")
	s.run(exitDone, "labels", "--trial", "--count", "4", "--stock", "roll 50x25", "--material", "white film", "--out", path+".pdf")
	stdout, stderr := s.run(exitDone, "labels", "--proof", path)
	s.want(stdout, "TRIAL-01  yes ", "TRIAL-03  no ", "of 4 labels good")
	s.want(stderr, `: soaktag labels --trial --count `, ` --stock "roll 50x25" --material "white film" --out trial.pdf`)
	if strings.Contains(stderr, "another study") || strings.Contains(stderr, "print again") {
		t.Error(stderr)
	}
}

func codeNames[T fmt.Stringer](all []T) (names []string) {
	for _, one := range all {
		names = append(names, one.String())
	}
	return names
}
