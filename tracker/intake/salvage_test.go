package intake

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/store"
)

// What was saved of a damaged study holds a remark where an entry is missing, which asks;
// it says the same each time, and goes as a log into a study that has the rest.
func TestSavedGoesBack(t *testing.T) {
	study := &notebookAt{begun(t), clock{noon.Add(time.Hour)}}
	study.writes(t, "Ann", Stage{Subjects: []string{"1"}, Name: "glue-up"})
	older := copyOf(t, study.path, "older.soaktag")
	study.open(t, func(d *Desk) {
		d.Note = "marker"
		if _, err := d.Take(Stage{Subjects: []string{"2"}, Name: "glue-up"}); err != nil {
			t.Fatal(err)
		}
	})
	study.writes(t, "Bob", Stage{Subjects: []string{"3"}, Name: "glue-up"})
	text, err := os.ReadFile(study.path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(study.path, bytes.ReplaceAll(text, []byte("marker"), []byte("mbrker")), 0o644); err != nil {
		t.Fatal(err)
	}
	left, err := store.OpenSalvage(study.path)
	if err != nil {
		t.Fatal(err)
	}
	defer left.Close()
	all, again := Saved(left, noon), Saved(left, noon)
	gap := all[2]
	if len(all) != 4 || gap.Via != tracker.ViaSalvage || gap.Values[0].Text != "1" || gap.Values[1].Text != "3" || gap.ID != again[2].ID || len(gap.ID) > 64 {
		t.Fatalf("%+v", all)
	}
	log := filepath.Join(t.TempDir(), "log.jsonl")
	f, err := os.Create(log)
	if err != nil {
		t.Fatal(err)
	}
	if _, n, err := store.WriteEvents(f, all); err != nil || n != 4 || f.Close() != nil {
		t.Fatal(n, err)
	}
	back := &notebookAt{older, clock{study.now}}
	back.open(t, func(d *Desk) {
		none := func(string, string) ([]byte, error) { return nil, os.ErrNotExist }
		out, err := d.Take(Merge{Name: log, Photos: none})
		if n := noted[Merged](t, out); err != nil || n.Added != 2 || n.Known != 2 {
			t.Errorf("%+v, %v", n, err)
		}
		marks := d.rec.OpenMarks()
		if len(marks) != 1 || marks[0].Rule != tracker.RuleGap || marks[0].About.(tracker.Missing).Before.Code != code(3) {
			t.Errorf("%+v", marks)
		}
	})
	if r := store.Verify(older); len(r.Problems) > 0 {
		t.Error(r.Problems)
	}
}
