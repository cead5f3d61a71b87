package tables_test

import (
	"fmt"
	"strings"
	"testing"

	"soaktag/tracker/tables"
)

// A name that stands for something else where codes are scanned and typed is
// refused with its line and what it stands for.
func TestNamesThatAreWords(t *testing.T) {
	study := begun(t).Study()
	for name, want := range map[string]string{
		"YES": `the card "yes"`, "undo": `the card "undo"`, "Cut": `the card "cut"`, "lift-out": `the card "lift-out"`,
		"LIFT OUT": `the card "lift-out"`, "who anna": `the card "who: Anna"`, "bath B2": `the card "bath B2"`,
		study.Adhesives[0].Bath: "bath " + study.Adhesives[0].Bath, "Room": "the room",
		"u": "the answer that takes one back", "U": "the answer", "4.1 MPa": "a reading of the gauge", "500 psi": "a reading", "Separated": "how a try ended",
		"fell apart": "how a try ended", "rig": "the word", "Dummy": "the word", "s": "", "u1": "", "4.1": "",
		"cutter": "", "Yes-1": "", "left cut": "",
	} {
		text := fmt.Sprintf("name,adhesive,treatment,board\n%s,%s,%s,%s\n", name, study.Adhesives[0].Key, study.Treatments[0].Key, study.Wood.Boards[0].Name)
		_, _, err := tables.ReadSpecimens("s.csv", strings.NewReader(text), study)
		switch {
		case want == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), fmt.Sprintf("s.csv:2: name %q reads as %s", name, want))):
			t.Errorf("%s: %v, want %s", name, err, want)
		}
	}
}

// A name that is an answer only where one is asked stands, with a warning.
func TestNamesThatAreAnswers(t *testing.T) {
	study := begun(t).Study()
	for name, want := range map[string]string{"s": "(separated, stopped, slipped)", "FE": "(fell apart)", "left": "", "x": "", "sx": ""} {
		text := fmt.Sprintf("name,adhesive,treatment,board\n%s,%s,%s,%s\n", name, study.Adhesives[0].Key, study.Treatments[0].Key, study.Wood.Boards[0].Name)
		_, warnings, err := tables.ReadSpecimens("s.csv", strings.NewReader(text), study)
		if got := fmt.Sprint(warnings); err != nil || !strings.Contains(got, want) || want == "" && len(warnings) > 0 {
			t.Errorf("%s: %v, %v; want %s", name, warnings, err, want)
		}
	}
}
