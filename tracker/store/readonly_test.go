package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestReadWhereNothingCanBeWritten: a study in a protected folder, and a
// protected study, can be read, verified and backed up; nothing is left beside
// them that would stop whoever may write again.
func TestReadWhereNothingCanBeWritten(t *testing.T) {
	for name, protect := range map[string]func(t *testing.T, path string){
		"folder": func(t *testing.T, path string) {
			chmod(t, filepath.Dir(path), 0o555)
			t.Cleanup(func() { _ = os.Chmod(filepath.Dir(path), 0o755) })
		},
		"file": func(t *testing.T, path string) { chmod(t, path, 0o444) },
	} {
		first, good := newStudy(t, 10, 30)
		head, n := mustHead(t, first)
		path := filepath.Join(t.TempDir(), "study.soaktag")
		copyStudy(t, good, path)
		protect(t, path)
		if r := Verify(path); r.Head != head || r.Events != n || len(r.Problems) > 0 || r.Unread != nil {
			t.Errorf("%s: verify: %+v", name, r)
		}
		readProtected(t, path, n)
		onlyFiles(t, filepath.Dir(path), "study.soaktag")
		chmod(t, filepath.Dir(path), 0o755)
		chmod(t, path, 0o644)
		mustRecord(t, mustOpen(t, path), stageEvent(500, 10))
	}
}

func readProtected(t *testing.T, path string, events int64) {
	t.Helper()
	db, err := OpenToRead(path, readPlan)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if n := len(mustState(t, db).Events()); int64(n) != events {
		t.Errorf("%d events", n)
	}
	backup := filepath.Join(t.TempDir(), "b.soaktag")
	if err := db.Backup(backup); err != nil {
		t.Error(err)
	}
	if r := Verify(backup); r.Events != events || len(r.Problems) > 0 {
		t.Errorf("backup: %+v", r)
	}
	if _, err := db.Record(stageEvent(500, 10)); !errors.Is(err, ErrReadOnly) || !strings.HasPrefix(err.Error(), "NOT recorded") {
		t.Errorf("record: %v", err)
	}
}

// TestReadProtectedWithJournal: what is still in the journal is read as well.
func TestReadProtectedWithJournal(t *testing.T) {
	db, good := newStudy(t, 10, 30) // open: its events are in the journal
	_, n := mustHead(t, db)
	path := filepath.Join(t.TempDir(), "study.soaktag")
	for _, tail := range []string{"", "-wal"} {
		write(t, path+tail, string(read(t, good+tail)))
	}
	chmod(t, path, 0o444)
	if r := Verify(path); r.Events != n || len(r.Problems) > 0 {
		t.Errorf("%+v", r)
	}
	onlyFiles(t, filepath.Dir(path), "study.soaktag", "study.soaktag-wal")
	chmod(t, path, 0o644)
	mustRecord(t, mustOpen(t, path), stageEvent(500, 10))
}

// TestUnread: what is not a study of this program's time is not called damaged.
func TestUnread(t *testing.T) {
	_, study := newStudy(t, 3, 3)
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	write(t, in("text"), "title = \"Oar loft\"\n")
	rawExec(t, in("other"), "CREATE TABLE x(y)")
	copyStudy(t, study, in("newer"))
	tamper(t, in("newer"), "PRAGMA user_version=4")
	copyStudy(t, study, in("damaged"))
	tamper(t, in("damaged"), "PRAGMA user_version=0")
	for name, cause := range map[string]error{"text": ErrNotSoaktag, "other": ErrNotSoaktag, "newer": ErrNewer, "damaged": nil, ".": ErrFolder} {
		r := Verify(in(name))
		if len(r.Problems) == 0 || (cause == nil) != (r.Unread == nil) || !errors.Is(r.Unread, cause) {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

// TestFullTarget: a copy that does not fit is said of the place it was to go to.
func TestFullTarget(t *testing.T) {
	disk := smallDisk(t)
	write(t, filepath.Join(disk, "junk"), strings.Repeat("x", 900<<10))
	db, path := newStudy(t, 10, 5000)
	to := filepath.Join(disk, "copy.soaktag")
	for name, err := range map[string]error{"backup": db.Backup(to), "restore": Restore(path, to, readPlan)} {
		if !errors.Is(err, ErrFull) || !strings.Contains(err.Error(), "no space left for "+to+";") {
			t.Errorf("%s: %v", name, err)
		}
	}
	onlyFiles(t, disk, "junk")
}
