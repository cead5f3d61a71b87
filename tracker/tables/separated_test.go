package tables_test

import (
	"slices"
	"strings"
	"testing"

	"soaktag/tracker/tables"
)

// TestSeparatedOtherwise: tables as spreadsheets save and copy them are read, and errors
// name the lines of the file.
func TestSeparatedOtherwise(t *testing.T) {
	plain := "specimen,stage,at,note\nRF-D1,cut,2026-02-20 18:10,\"a, b\"\nRF-D2,no such,2026-02-20 18:10,\n"
	tabs := "specimen\tstage\tat\tnote\nRF-D1\tcut\t2026-02-20 18:10\ta, b\nRF-D2\tno such\t2026-02-20 18:10\t\n"
	for _, test := range []struct {
		text string
		line string
	}{{plain, "t.csv:3"}, {tabs, "t.csv:3"}, {"sep=,\r\n" + plain, "t.csv:4"}, {"\xef\xbb\xbfsep=\t\n" + tabs, "t.csv:4"}} {
		if _, _, err := tables.ReadEvents("t.csv", strings.NewReader(test.text), begun(t), now); err == nil || !strings.HasPrefix(err.Error(), test.line+":") {
			t.Errorf("%q: %v, want line %s", test.text[:20], err, test.line)
		}
		good := test.text[:strings.Index(test.text, "RF-D2")]
		events, warnings, err := tables.ReadEvents("t.csv", strings.NewReader(good), begun(t), now)
		if err != nil || len(events) != 1 || events[0].Note != "a, b" || len(warnings) > 0 {
			t.Errorf("%q: %v, %+v, %q", good, err, events, warnings)
		}
	}
	_, _, err := tables.ReadEvents("t.csv", strings.NewReader("sep=;\nspecimen;stage;at\nRF-D1;cut;now\n"), begun(t), now)
	if err == nil || !slices.Equal(strings.Split(err.Error(), "\n"), []string{"t.csv:2: columns are separated by semicolons: save the file with commas"}) {
		t.Errorf("semicolons: %v", err)
	}
}
