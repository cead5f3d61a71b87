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
