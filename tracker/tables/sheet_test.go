package tables_test

import (
	"fmt"
	"strings"
	"testing"

	"soaktag/tracker/tables"
)

// Of a table that is wrong throughout the first hundred lines are told, and how many more.
func TestManyBadRows(t *testing.T) {
	for bad, want := range map[int]string{100: "", 101: "e.csv:102: and 1 more", 5000: "e.csv:102: and 4900 more"} {
		text := "specimen,stage,at\n" + strings.Repeat("EPX-D1,nonsense,2026-02-21 09:33\n", bad)
		_, _, err := tables.ReadEvents("e.csv", strings.NewReader(text), begun(t), now)
		said := strings.Split(fmt.Sprint(err), "\n")
		if got := len(said); got != min(bad, 101) || want != "" && !strings.HasPrefix(said[100], want) || want == "" && strings.Contains(said[99], "more") {
			t.Errorf("%d bad rows: %d lines, the last %s", bad, got, said[got-1])
		}
	}
}

func TestNoteOfAWholeFile(t *testing.T) {
	for n, want := range map[int]string{100_000: "<nil>", 100_001: "the note has 100001 bytes, more than 100000"} {
		text := "specimen,stage,at,note\nEPX-D1,cut,2026-02-21 09:33," + strings.Repeat("x", n) + "\n"
		if _, _, err := tables.ReadEvents("e.csv", strings.NewReader(text), begun(t), now); !strings.Contains(fmt.Sprint(err), want) {
			t.Errorf("%d bytes: %.200v", n, err)
		}
	}
}
