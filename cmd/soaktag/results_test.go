package main

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// One of several planned is "so far"; one planned is one. A specimen that was
// broken in another state than its three fellows takes no comparison with it.
func TestResultsOneSpecimenSoFar(t *testing.T) {
	study := &tracker.Study{Treatments: []tracker.Treatment{{Key: "dry"}}}
	x := 9.0
	broke := strength.Specimen{Adhesive: "CAS", Treatment: "dry", Outcome: strength.Broke, Bound: stat.Exact, ShearMPa: &x, Rig: "press", State: "dry"}
	waits := strength.Specimen{Adhesive: "CAS", Treatment: "dry", Outcome: strength.NoneYet, State: "dry"}
	wet := strength.Group{Adhesive: "CAS", Treatment: "dry", Rig: "press", State: "wet", N: 3}
	single := strength.Group{Adhesive: "CAS", Treatment: "dry", Rig: "press", State: "dry", N: 1}
	for want, specimens := range map[string][]strength.Specimen{
		"One specimen each: ": {broke}, "One specimen each so far: ": {broke, waits}} {
		var out bytes.Buffer
		(&session{stdout: &out}).printBoxes(study, strength.Report{Specimens: specimens, Groups: []strength.Group{single}})
		if got := out.String(); !strings.HasPrefix(got, want) || strings.Contains(got, "1 of 1") != (len(specimens) == 1) {
			t.Errorf("want %q, printed:\n%s", want, got)
		}
	}
	var out bytes.Buffer
	(&session{stdout: &out}).printResults(study, strength.Report{Groups: []strength.Group{wet, single}, Specimens: []strength.Specimen{broke}})
	if !strings.Contains(out.String(), "\n\nOne specimen each") {
		t.Errorf("the boxes do not stand apart from the table:\n%s", out.String())
	}
}

// A group that soaked longer and still won keeps its comparison, and the
// screen says why beside the numbers.
func TestResultsSayWhyALongerSoakStands(t *testing.T) {
	ratio, low, high := 1.5, 1.2, 1.9
	const why = "EPX soaked longer (+8 h) and still won: the comparison stands"
	won := strength.Reason{Kind: strength.SoakedLonger, Who: strength.Party{Adhesive: "EPX"}, Length: 8 * time.Hour}
	var out bytes.Buffer
	s := &session{stdout: &out}
	s.printComparisons(strength.Report{Comparisons: []strength.Comparison{{Treatment: "soaked", A: "EPX", B: "PVA", Ratio: &ratio,
		Low: &low, High: &high, ToldApart: true, Sure: true, Comparable: true, Reasons: []strength.Reason{won}}}})
	if got := out.String(); !strings.Contains(got, "EPX and PVA, ratio 1.50 (1.20 to 1.90)\n      "+why+"\n") || strings.Contains(got, "Not comparable") {
		t.Errorf("printed:\n%s", got)
	}
}

// A t interval of very few can begin below 0, where no strength is.
func TestResultsBelowZero(t *testing.T) {
	for low, want := range map[float64]string{-3: "0* to 9.00", 0: "0.00 to 9.00", 1: "1.00 to 9.00"} {
		mean, high := 3.0, 9.0
		var out bytes.Buffer
		(&session{stdout: &out}).printGroups([]strength.Group{{Adhesive: "CAS", Treatment: "dry", N: 2, MeanSurvivors: &mean, Low: &low, High: &high}}, nil, quantity.Metric)
		if got := out.String(); !strings.Contains(got, " "+want+" ") || strings.Contains(got, "\n* The interval would begin below 0") != (low < 0) {
			t.Errorf("from %v, printed:\n%s", low, got)
		}
	}
}
