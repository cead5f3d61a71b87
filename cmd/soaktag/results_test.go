package main

import (
	"bytes"
	"strings"
	"testing"

	"soaktag/tracker/strength"
)

// A group that soaked longer and still won keeps its comparison, and the
// screen says why beside the numbers.
func TestResultsSayWhyALongerSoakStands(t *testing.T) {
	ratio, low, high := 1.5, 1.2, 1.9
	const why = "EPX soaked longer (+8 h) and still won: the comparison stands"
	var out bytes.Buffer
	s := &session{stdout: &out}
	s.printComparisons(strength.Report{Comparisons: []strength.Comparison{{Treatment: "soaked", A: "EPX", B: "PVA", Ratio: &ratio,
		Low: &low, High: &high, ToldApart: true, Comparable: true, Reasons: []string{why}}}})
	if got := out.String(); !strings.Contains(got, "EPX and PVA, ratio 1.50 (1.20 to 1.90)\n      "+why+"\n") || strings.Contains(got, "Not comparable") {
		t.Errorf("printed:\n%s", got)
	}
}
