package wording

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A study written when rules were plain text still has the same marks, and the
// same of them accepted.
func TestStoredRulesAreKnown(t *testing.T) {
	kept, err := os.ReadFile("testdata/rules.soaktag")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "rules.soaktag")
	if err := os.WriteFile(path, kept, 0o644); err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(path, plan.Read)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		t.Fatal(err)
	}
	var got strings.Builder
	for _, life := range rec.Lives() {
		for _, m := range life.Marks {
			state := "noted"
			if m.Asks {
				state = "asks"
			}
			fmt.Fprintf(&got, "%s | %s | %s | %s\n", m.Code, m.Rule, MarkText(m), cmp.Or(m.Accepted, state))
		}
	}
	want, err := os.ReadFile("testdata/rules.txt")
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Errorf("the marks of a stored study are now\n%s", got.String())
	}
}
