package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
)

// TestVerifyFindsAChangedReading changes one digit of one reading inside a
// copy, as bad luck or a bad conscience might.
func TestVerifyFindsAChangedReading(t *testing.T) {
	r := replay(t, demoStudy{})
	copied := filepath.Join(t.TempDir(), "copy.soaktag")
	if _, stderr, status := childRun([]string{"backup", copied, "--study", r.study}, storyEnd); status != exitDone {
		t.Fatalf("backup: status %d\n%s", status, stderr)
	}
	text, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(text, []byte("13.7 MPa")); n == 0 {
		t.Fatal("no such reading in the file")
	}
	changed := bytes.Replace(text, []byte("13.7 MPa"), []byte("15.7 MPa"), 1)
	if err := os.WriteFile(copied, changed, 0o600); err != nil {
		t.Fatal(err)
	}
	stdout, _, status := childRun([]string{"verify", copied, "--json"}, storyEnd)
	if status != exitFailed {
		t.Errorf("status %d, want %d", status, exitFailed)
	}
	var doc verifyDoc
	if err := json.Unmarshal([]byte(stdout), &doc); err != nil || doc.OK || len(doc.Problems) == 0 {
		t.Errorf("%v: %s", err, stdout)
	}
}
