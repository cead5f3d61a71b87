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

func description(t *testing.T, dir string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, "datapackage.json"))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
