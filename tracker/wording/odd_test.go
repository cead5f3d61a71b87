package wording

import (
	"reflect"
	"testing"

	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// Those that came to the same without a number stand together, one alone in its own
// line, and an only mark beside what it is about.
func TestOddOnesStandTogether(t *testing.T) {
	mpa := 2.0
	fell := strength.Specimen{Code: "A-1", Outcome: strength.FellApart, Bound: stat.Zero}
	other := fell
	other.Code, other.Name = "A-2", "two"
	lost := strength.Specimen{Code: "A-3", Outcome: strength.Lost, Bound: stat.None}
	marked := strength.Specimen{Code: "A-4", Outcome: strength.Broke, Bound: stat.Exact, ShearMPa: &mpa, Marks: []strength.Mark{{Rule: strength.OverGauge}}}
	got := OddOf([]strength.Specimen{fell, marked, lost, other}, quantity.Metric)
	want := []Odd{{Says: "fell apart, counted as 0", Who: []string{"A-1", "A-2 two"}},
		{Says: "A-4: broke, 2.00 MPa; " + StrengthMark(marked.Marks[0])}, {Says: "A-3: lost"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
