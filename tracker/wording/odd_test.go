package wording

import (
	"reflect"
	"testing"

	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// Those that came to the same without a mark stand together, one alone in its own
// line, and an only mark beside what it is about.
func TestOddOnesStandTogether(t *testing.T) {
	mpa := 2.0
	fell := strength.Specimen{Code: "A-1", Outcome: strength.FellApart, Bound: stat.Zero}
	other := fell
	other.Code, other.Name = "A-2", "two"
	lost := strength.Specimen{Code: "A-3", Outcome: strength.Lost, Bound: stat.None}
	marked := strength.Specimen{Code: "A-4", Outcome: strength.Broke, Bound: stat.Exact, ShearMPa: &mpa, Marks: []strength.Mark{{Rule: strength.OverGauge}}}
	wood := strength.Specimen{Code: "A-5", Outcome: strength.WoodLimited, Bound: stat.AtLeast, ShearMPa: &mpa}
	more := wood
	more.Code = "A-6"
	got := OddOf([]strength.Specimen{wood, fell, marked, lost, other, more}, quantity.Metric)
	want := []Odd{{Says: "wood-limited", Who: []string{"A-5 at least 2.00 MPa", "A-6 at least 2.00 MPa"}},
		{Says: "fell apart, counted as 0", Who: []string{"A-1", "A-2 two"}},
		{Says: "A-4: broke, 2.00 MPa; " + StrengthMark(marked.Marks[0])}, {Says: "A-3: lost"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
