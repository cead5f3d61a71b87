package demo

import (
	"testing"

	"soaktag/tracker/tables"
)

// A reading past the gauge is among what the findings say of the rig.
func TestFindingsNameAReadingOverTheGauge(t *testing.T) {
	sp := tables.Specimen{Name: "HID-1", Marks: []tables.Mark{{Rule: "over the gauge", Text: "28 MPa is over the gauge's span"}}}
	lines := Evidence{Results: tables.Results{Specimens: []tables.Specimen{sp}}}.rigLimits()
	if len(lines) != 1 || lines[0] != "HID-1: 28 MPa is over the gauge's span" {
		t.Errorf("findings %q", lines)
	}
}
