package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"soaktag/tracker"
)

func TestCreateRecordOpen(t *testing.T) {
	db, path := newStudy(t, 10, 1)
	full := fullEvent()
	verdicts := mustKeep(t, db, fullPhoto, stageEvent(0, 10), full, stageEvent(1, 10))
	if len(verdicts) != 3 || verdicts[1].Event.ID != full.ID || verdicts[1].Event.Seq != 3 {
		t.Errorf("verdicts %+v", verdicts)
	}
	head, n := mustHead(t, db)
	if n != 4 || len(head) != 64 {
		t.Errorf("head %s of %d", head, n)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	again := mustOpen(t, path)
	rec := mustState(t, again)
	got, ok := rec.Event(full.ID)
	full.Seq = 3
	if !ok || !reflect.DeepEqual(got, full) {
		t.Errorf("got\n%+v\nwant\n%+v", got, full)
	}
	if h, n2 := mustHead(t, again); h != head || n2 != n {
		t.Errorf("head %s of %d, was %s of %d", h, n2, head, n)
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Head != head || r.Events != 4 {
		t.Errorf("verify: %+v", r)
	}
}

// TestKnownID: a re-sent event is a no-op, in a later call and in the same one.
func TestKnownID(t *testing.T) {
	db, _ := newStudy(t, 10, 5)
	head, n := mustHead(t, db)
	again := stageEvent(2, 10)
	again.Note = "sent twice"
	v := mustRecord(t, db, again)
	if h, n2 := mustHead(t, db); h != head || n2 != n || v[0].Event.Note != "" || v[0].Event.Seq != 4 {
		t.Errorf("known id: head %s of %d, verdict %+v", h, n2, v[0].Event)
	}
	mustRecord(t, db, stageEvent(90, 10), stageEvent(90, 10))
	if _, n2 := mustHead(t, db); n2 != n+1 {
		t.Errorf("%d events, want %d", n2, n+1)
	}
}

// TestAllOrNone: one bad event keeps the whole call out, also of the record.
func TestAllOrNone(t *testing.T) {
	db, _ := newStudy(t, 10, 3)
	bad := stageEvent(51, 10)
	bad.ID = ""
	if _, err := db.Record(stageEvent(50, 10), bad); !errors.Is(err, ErrBody) || !strings.HasPrefix(err.Error(), "NOT recorded") {
		t.Errorf("err = %v", err)
	}
	if _, known := mustState(t, db).Event("e000050"); known {
		t.Error("the record holds an event that was not kept")
	}
}

// TestFoldedButNotKept: the fold takes an event, then the database refuses it.
func TestFoldedButNotKept(t *testing.T) {
	db, path := newStudy(t, 10, 300)
	tamper(t, path, "CREATE TRIGGER no BEFORE UPDATE ON head BEGIN SELECT RAISE(ABORT, 'no'); END")
	if _, err := db.Record(stageEvent(1000, 10)); err == nil || !strings.Contains(err.Error(), "NOT recorded") {
		t.Errorf("err = %v", err)
	}
	rec := mustState(t, db)
	if _, known := rec.Event("e001000"); known || len(rec.Events()) != 300 {
		t.Error("the record holds an event that was not kept")
	}
	tamper(t, path, "DROP TRIGGER no")
	if v := mustRecord(t, db, stageEvent(1000, 10)); v[0].Event.Seq != 301 {
		t.Errorf("verdict %+v", v[0])
	}
	if r := Verify(path); len(r.Problems) > 0 {
		t.Errorf("verify: %v", r.Problems)
	}
}

// TestMoved: a study that is moved, deleted or replaced while it is open takes
// nothing more, and says so; put back, it has all that was recorded and goes on.
func TestMoved(t *testing.T) {
	for _, tail := range []string{"", "-wal"} {
		db, path := newStudy(t, 10, 20)
		name, aside := path+tail, filepath.Join(t.TempDir(), "aside")
		refused := func(how string) {
			t.Helper()
			_, err := db.Record(stageEvent(100, 10))
			if !errors.Is(err, ErrMoved) || !strings.HasPrefix(err.Error(), "NOT recorded: "+name+" was moved, deleted or replaced") {
				t.Errorf("%s %s: %v", name, how, err)
			}
		}
		if err := os.Rename(name, aside); err != nil {
			t.Fatal(err)
		}
		refused("moved")
		write(t, name, "another file")
		refused("replaced")
		if err := os.Rename(aside, name); err != nil {
			t.Fatal(err)
		}
		mustRecord(t, db, stageEvent(100, 10))
		if r := Verify(path); r.Events != 21 || len(r.Problems) > 0 {
			t.Errorf("put back: %+v", r)
		}
	}
}

// TestTwoOpen: each sees at once what the other recorded.
func TestTwoOpen(t *testing.T) {
	a, path := newStudy(t, 10, 2)
	b := mustOpen(t, path)
	mustRecord(t, a, stageEvent(20, 10))
	mustRecord(t, b, stageEvent(21, 10))
	mustRecord(t, a, stageEvent(21, 10), stageEvent(22, 10))
	for _, db := range []*DB{a, b} {
		rec := mustState(t, db)
		if n := len(rec.Events()); n != 5 {
			t.Errorf("%d events", n)
		}
		for i, e := range rec.Events() {
			if e.Seq != int64(i+1) {
				t.Errorf("event %d has seq %d", i+1, e.Seq)
			}
		}
	}
}

func TestCreateRefuses(t *testing.T) {
	dir := t.TempDir()
	there := filepath.Join(dir, "there.soaktag")
	write(t, there, "precious")
	noPlan := begun(1)
	noPlan.Plan = nil
	for name, c := range map[string]struct {
		path  string
		begun tracker.Event
		cause error
	}{
		"exists":      {there, begun(1), fs.ErrExist},
		"no folder":   {filepath.Join(dir, "no", "x.soaktag"), begun(1), fs.ErrNotExist},
		"no plan":     {filepath.Join(dir, "x.soaktag"), noPlan, errPlan},
		"other event": {filepath.Join(dir, "x.soaktag"), stageEvent(1, 1), nil},
		"no id":       {filepath.Join(dir, "x.soaktag"), tracker.Event{Kind: tracker.Begun, Plan: []byte("x")}, ErrBody},
	} {
		db, err := Create(c.path, c.begun, readPlan)
		if db != nil || err == nil || c.cause != nil && !errors.Is(err, c.cause) {
			t.Errorf("%s: %v", name, err)
		}
	}
	onlyFiles(t, dir, "there.soaktag")
	if text, _ := os.ReadFile(there); string(text) != "precious" {
		t.Error("a file was overwritten")
	}
}

// onlyFiles fails when dir holds anything but the named files.
func onlyFiles(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if !reflect.DeepEqual(got, names) {
		t.Errorf("files %q, want %q", got, names)
	}
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestOpenRefuses(t *testing.T) {
	_, study := newStudy(t, 3, 3)
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	write(t, in("empty"), "")
	write(t, in("text"), "title = \"Oar loft\"\n")
	write(t, in("long text"), strings.Repeat("Oar loft\n", 10000))
	rawExec(t, in("other"), "CREATE TABLE x(y)")
	rawExec(t, in("other wal"), "PRAGMA journal_mode=WAL; PRAGMA application_id=7; CREATE TABLE x(y)")
	copyStudy(t, study, in("newer"))
	tamper(t, in("newer"), "PRAGMA user_version=4")
	copyStudy(t, study, in("never"))
	tamper(t, in("never"), "PRAGMA user_version=0")
	copyStudy(t, study, in("protected"))
	chmod(t, in("protected"), 0o444)
	if err := os.Mkdir(in("locked"), 0o755); err != nil {
		t.Fatal(err)
	}
	copyStudy(t, study, in("locked/study"))
	chmod(t, in("locked"), 0o555)
	t.Cleanup(func() { _ = os.Chmod(in("locked"), 0o755) })
	db := mustOpen(t, study)
	if err := db.Backup(in("backup")); err != nil {
		t.Fatal(err)
	}
	for name, cause := range map[string]error{
		"missing": fs.ErrNotExist, ".": ErrFolder, "empty": ErrEmpty, "text": ErrNotSoaktag, "long text": ErrNotSoaktag,
		"other": ErrNotSoaktag, "other wal": ErrNotSoaktag, "newer": ErrNewer, "never": ErrDamaged, "protected": ErrReadOnly,
		"locked/study": ErrReadOnly, "backup": ErrBackup,
	} {
		_, err := Open(in(name), readPlan)
		if !errors.Is(err, cause) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", name, err)
		}
		t.Logf("%v", err)
	}
	if mode := journalOf(t, in("other")); mode != "delete" {
		t.Errorf("another program's file was converted to %s", mode)
	}
}

func chmod(t *testing.T, path string, mode fs.FileMode) {
	t.Helper()
	if err := os.Chmod(path, mode); err != nil {
		t.Fatal(err)
	}
}

func journalOf(t *testing.T, path string) string {
	t.Helper()
	f, err := openFile(path, reading)
	if err != nil {
		t.Fatal(err)
	}
	mode, err := f.journal()
	if err := errors.Join(err, f.close()); err != nil {
		t.Fatal(err)
	}
	return mode
}

// copyStudy copies a study through Restore, the way a person should.
func copyStudy(t testing.TB, from, to string) {
	t.Helper()
	if err := Restore(from, to, readPlan); err != nil {
		t.Fatal(err)
	}
}

// rawExec runs statements on a file of any kind, which it may create.
func rawExec(t testing.TB, path, query string, args ...any) {
	t.Helper()
	if _, err := os.Stat(path); err != nil {
		write(t, path, "")
	}
	tamper(t, path, query, args...)
}

// tamper does to a file what soaktag never does.
func tamper(t testing.TB, path, query string, args ...any) {
	t.Helper()
	f, err := openFile(path, readWrite)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.exec(query, args...), f.close()); err != nil {
		t.Fatal(err)
	}
}

// TestOddNames: what a URL would take for its own survives in a path.
func TestOddNames(t *testing.T) {
	for _, name := range []string{"a b.soaktag", "what?mode=ro.soaktag", "no#1.soaktag", "100%41.soaktag", "file:x.soaktag", "é&=+;.soaktag", "a'b\"c.soaktag"} {
		dir := filepath.Join(t.TempDir(), "dir "+name)
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, name)
		db, err := Create(path, begun(2), readPlan)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		mustRecord(t, db, stageEvent(0, 2))
		backup := filepath.Join(dir, "b "+name)
		if err := errors.Join(db.Backup(backup), db.Close(), Restore(backup, filepath.Join(dir, "r "+name), readPlan)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		onlyFiles(t, dir, sorted(name, "b "+name, "r "+name)...)
	}
}

// TestRelativeName: a name without a folder works from where one stands.
func TestRelativeName(t *testing.T) {
	t.Chdir(t.TempDir())
	db, err := Create("study.soaktag", begun(2), readPlan)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(db.Backup("b.soaktag"), db.Close()); err != nil {
		t.Error(err)
	}
	onlyFiles(t, ".", "b.soaktag", "study.soaktag")
}

func TestAppendOnly(t *testing.T) {
	_, path := newStudy(t, 3, 3)
	f, err := openFile(path, readWrite)
	if err != nil {
		t.Fatal(err)
	}
	defer f.close()
	for _, q := range []string{
		"UPDATE event SET body = x'00' WHERE seq = 2",
		"UPDATE event SET id = 'x'",
		"DELETE FROM event WHERE seq = 3",
		"DELETE FROM event",
		"INSERT OR REPLACE INTO event SELECT 2, 'new', body, hash FROM event WHERE seq = 1",
		"INSERT OR REPLACE INTO event SELECT 9, id, body, hash FROM event WHERE seq = 2",
		"INSERT INTO event SELECT 2, id, body, hash FROM event WHERE seq = 2 ON CONFLICT(seq) DO UPDATE SET body = x'00'",
		"INSERT INTO event VALUES(9, 'x', 'text', zeroblob(32))",
		"INSERT INTO event VALUES(9, 'x', x'00', x'00')",
		"INSERT INTO head SELECT 2, count, hash FROM head",
		"PRAGMA writable_schema=1; UPDATE sqlite_schema SET sql = ''",
	} {
		if err := f.exec(q); err == nil {
			t.Errorf("accepted: %s", q)
		}
	}
	if r := Verify(path); len(r.Problems) > 0 {
		t.Errorf("verify: %v", r.Problems)
	}
}

func TestSettings(t *testing.T) {
	db, _ := newStudy(t, 1, 1)
	for name, want := range map[string]int64{"synchronous": 2, "busy_timeout": 15000, "application_id": applicationID, "user_version": 1} {
		if got, err := db.log.pragma(name); err != nil || got != want {
			t.Errorf("%s = %d, %v", name, got, err)
		}
	}
	if mode, err := db.log.journal(); err != nil || mode != "wal" {
		t.Errorf("journal %s, %v", mode, err)
	}
}

// TestBusy: a writer that stays is named, after the time that is waited.
func TestBusy(t *testing.T) {
	a, path := newStudy(t, 2, 2)
	b := mustOpen(t, path)
	if err := errors.Join(a.log.exec("PRAGMA busy_timeout=50"), run(b.log.immediate)); err != nil {
		t.Fatal(err)
	}
	if _, err := a.Record(stageEvent(5, 2)); !errors.Is(err, ErrBusy) || !strings.Contains(err.Error(), "another process is writing") {
		t.Errorf("err = %v", err)
	}
	if rec := mustState(t, a); len(rec.Events()) != 2 {
		t.Error("reading does not wait for a writer, and finds what was there")
	}
	if err := run(b.log.rollback); err != nil {
		t.Fatal(err)
	}
	mustRecord(t, a, stageEvent(5, 2))
}

// TestLongLog: a log of many batches that goes wrong in one of them is refused,
// whichever half of the reading meets it.
func TestLongLog(t *testing.T) {
	db, path := newStudy(t, 10, 3000)
	if n := len(mustState(t, mustOpen(t, path)).Events()); n != 3000 {
		t.Errorf("%d events", n)
	}
	unreadable := func([]byte) (tracker.Study, error) { return tracker.Study{}, errPlan }
	if _, err := Open(path, unreadable); !errors.Is(err, errPlan) {
		t.Errorf("a plan that cannot be read: %v", err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	tamper(t, path, "DROP TRIGGER event_no_update; UPDATE event SET body = x'0102' WHERE seq = 200")
	if _, err := Open(path, readPlan); !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "event 200") {
		t.Errorf("a body that cannot be read: %v", err)
	}
}

// TestChain pins the chain. The values are those of sha256sum:
//
//	printf 'soaktag event log 1' | sha256sum
//	(printf 'soaktag event log 1' | sha256sum | xxd -r -p; printf 'body') | sha256sum
func TestChain(t *testing.T) {
	var scratch []byte
	for at, want := range map[link]string{
		start():                                "5eddbd8b2e719fbe92cb3363abb42cf9abc06c66a195fb0031487315719fb62a",
		start().next([]byte("body"), &scratch): "93ad57cf01675e1098b22e53ae04f41b3361eb078c3657c08ccd9d7ccb124258",
	} {
		if got := at.hash.String(); got != want {
			t.Errorf("hash %d is %s, want %s", at.count, got, want)
		}
	}
}

// TestCommitInDoubt: after an error of a commit the file has the last word.
func TestCommitInDoubt(t *testing.T) {
	a, path := newStudy(t, 10, 3)
	e, cause := stageEvent(50, 10), errors.New("the disk hesitated")
	if _, err := a.recover([]tracker.Event{e}, cause); !errors.Is(err, cause) || !strings.HasPrefix(err.Error(), "NOT recorded") {
		t.Errorf("not in the file: %v", err)
	}
	mustRecord(t, mustOpen(t, path), e)
	v, err := a.recover([]tracker.Event{e}, cause)
	if err != nil || len(v) != 1 || v[0].Event.Seq != 4 {
		t.Errorf("in the file: %+v, %v", v, err)
	}
}
