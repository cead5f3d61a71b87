package tables_test

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker/tables"
)

// TestExportStoppedHalfWay stops an export at its log: the folder says that it
// is not finished, and the next export into it finishes it.
func TestExportStoppedHalfWay(t *testing.T) {
	dir := t.TempDir()
	in := tables.Export{Record: begun(t), Now: now}
	in.Log = func(io.Writer) (string, int64, error) { return "", 0, errors.New("full") }
	for range 2 {
		if err := tables.WriteDir(dir, in); err == nil || !strings.Contains(err.Error(), "log.jsonl: full") {
			t.Fatal(err)
		}
		if text := description(t, dir); !strings.Contains(text, `"export/1 unfinished"`) {
			t.Errorf("the folder does not say that it is unfinished: %.80s", text)
		}
	}
	in.Log = func(w io.Writer) (string, int64, error) {
		_, err := io.WriteString(w, "{}\n")
		return "c0ffee", 1, err
	}
	if err := tables.WriteDir(dir, in); err != nil {
		t.Fatal(err)
	}
	if text := description(t, dir); strings.Contains(text, "unfinished") || !strings.Contains(text, "c0ffee") {
		t.Errorf("finished: %.80s", text)
	}
}

// TestExportKilledOverAnEarlierOne stops an export into the folder of an earlier one before
// its log: nobody takes the older log for the newer, and what lies half written is swept
// away by the next.
func TestExportKilledOverAnEarlierOne(t *testing.T) {
	dir := t.TempDir()
	log := func(text string) tables.LogWriter {
		return func(w io.Writer) (string, int64, error) {
			_, err := io.WriteString(w, text)
			return "c0ffee", 1, err
		}
	}
	in := tables.Export{Record: begun(t), Now: now, Log: log("older")}
	if err := tables.WriteDir(dir, in); err != nil {
		t.Fatal(err)
	}
	if head, n, err := tables.LogEnd(dir); head != "c0ffee" || n != 1 || err != nil {
		t.Errorf("whole: %s, %d, %v", head, n, err)
	}
	in.Log = func(io.Writer) (string, int64, error) { return "", 0, errors.New("killed") }
	if err := tables.WriteDir(dir, in); err == nil {
		t.Fatal("it was not stopped")
	}
	if _, _, err := tables.LogEnd(dir); err == nil || !strings.Contains(err.Error(), "was stopped half-way: its log.jsonl may be of an earlier one") {
		t.Errorf("stopped: %v", err)
	}
	left, mine := filepath.Join(dir, ".soaktag-123"), filepath.Join(dir, "mine.txt")
	for _, name := range []string{left, mine} {
		if err := os.WriteFile(name, []byte("half"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	in.Log = log("newer")
	if err := tables.WriteDir(dir, in); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(left); err == nil {
		t.Error("what was half written is still there")
	}
	if _, err := os.Stat(mine); err != nil {
		t.Error("somebody else's file is gone")
	}
}

func description(t *testing.T, dir string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, "datapackage.json"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
