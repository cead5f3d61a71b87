package main

import (
	"bytes"
	"strings"
	"testing"

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
		(&session{stdout: &out}).printBoxes(study, specimens, []strength.Group{single})
		if got := out.String(); !strings.HasPrefix(got, want) || strings.Contains(got, "1 of 1") != (len(specimens) == 1) {
			t.Errorf("want %q, printed:\n%s", want, got)
		}
	}
	var out bytes.Buffer
	(&session{stdout: &out}).printResults(study, strength.Report{Groups: []strength.Group{wet, single}, Specimens: []strength.Specimen{broke}})
	if !strings.Contains(out.String(), "\n\nOne specimen each") {
		t.Errorf("the boxes do not stand apart from the table:\n%s", out.String())
	}
	r := strength.Report{Retention: []strength.Retention{{Adhesive: "CAS", Treatment: "dry"}}}
	if n := len(withoutSingles(r, []strength.Group{wet}, []strength.Group{single}).Retention); n != 1 {
		t.Errorf("%d retentions left beside a group of three, want 1", n)
	}
	broke.State = "wet"
	if names := boxed([]strength.Specimen{broke}, []strength.Group{single}, "dry", strength.BoxBondBroke, quantity.Metric); len(names) > 0 {
		t.Errorf("in the box of another group: %v", names)
	}
}

// A group that soaked longer and still won keeps its comparison, and the
// screen says why beside the numbers.
func TestResultsSayWhyALongerSoakStands(t *testing.T) {
	ratio, low, high := 1.5, 1.2, 1.9
	const why = "EPX soaked longer (+8 h) and still won: the comparison stands"
	var out bytes.Buffer
	s := &session{stdout: &out}
	s.printComparisons(strength.Report{Comparisons: []strength.Comparison{{Treatment: "soaked", A: "EPX", B: "PVA", Ratio: &ratio,
		Low: &low, High: &high, ToldApart: true, Sure: true, Comparable: true, Reasons: []string{why}}}})
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

// A reading past the gauge is among what the findings say of the rig.
func TestFindingsNameAReadingOverTheGauge(t *testing.T) {
	sp := strength.Specimen{Name: "HID-1", Marks: []strength.Mark{{Rule: "over the gauge", Text: "28 MPa is over the gauge's span"}}}
	lines := evidence{results: strength.Report{Specimens: []strength.Specimen{sp}}}.rigLimits()
	if len(lines) != 1 || lines[0] != "HID-1: 28 MPa is over the gauge's span" {
		t.Errorf("findings %q", lines)
	}
}
