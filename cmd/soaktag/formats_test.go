package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestOldFormats opens a study of every format that there was, and wants the answers that
// were kept beside it. SOAKTAG_REWRITE=1 keeps what they are now.
func TestOldFormats(t *testing.T) {
	all, err := filepath.Glob("testdata/formats/*.soaktag")
	if err != nil || len(all) < 3 {
		t.Fatalf("only %v: %v", all, err)
	}
	for _, kept := range all {
		t.Run(filepath.Base(kept), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "study.soaktag")
			bytes, err := os.ReadFile(kept)
			if err == nil {
				err = os.WriteFile(path, bytes, 0o600)
			}
			if err != nil {
				t.Fatal(err)
			}
			keepOrCompare(t, strings.TrimSuffix(kept, ".soaktag")+".txt", asked(t, path))
		})
	}
}

// asked is what a study answers: that it is whole, how it stands, and what it found.
func asked(t *testing.T, study string) string {
	t.Helper()
	var all strings.Builder
	for _, command := range []string{"verify --json", "status --json", "results", "history 17"} {
		stdout, stderr, status := childRun(append(strings.Fields(command), "--study", study), "2026-12-01T12:00:00Z")
		if status != exitDone && status != exitAttention {
			t.Errorf("%s: status %d\n%s", command, status, stderr)
		}
		fmt.Fprintf(&all, "$ soaktag %s\n%s", command, stdout)
	}
	return all.String()
}

// TestEveryFormatIsKept wants a study of each format up to the newest: the one after the
// last that is kept is refused as newer.
func TestEveryFormatIsKept(t *testing.T) {
	const version = 60 // where the header of the file has it: sqlite.org/fileformat.html, 1.3
	newest := byte(0)
	for {
		kept, err := os.ReadFile(fmt.Sprintf("testdata/formats/format%d.soaktag", newest+1))
		if err != nil {
			break
		}
		newest++
		if got := kept[version : version+4]; string(got) != string([]byte{0, 0, 0, newest}) {
			t.Errorf("format%d.soaktag is of format %v", newest, got)
		}
	}
	bytes, err := os.ReadFile(fmt.Sprintf("testdata/formats/format%d.soaktag", newest))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "study.soaktag")
	bytes[version+3]++
	if err := os.WriteFile(path, bytes, 0o600); err != nil {
		t.Fatal(err)
	}
	_, stderr, status := childRun([]string{"status", "--study", path}, "2026-12-01T12:00:00Z")
	if want := fmt.Sprintf("written by a newer soaktag (format %d, this one reads up to %d)", newest+1, newest); status != exitRefused || !strings.Contains(stderr, want) {
		t.Errorf("a file of the next format: status %d\n%s", status, stderr)
	}
}
