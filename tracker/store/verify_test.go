package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// study100 is a closed study of 100 events whose guards are off, open for
// tampering, with the report function to call inside a transaction.
func study100(t testing.TB) (*file, string) {
	t.Helper()
	db, path := newStudy(t, 10, 100)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := openFile(path, readWrite)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = f.close() })
	if err := f.exec("DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete; DROP TRIGGER event_no_replace; " +
		"CREATE TABLE aside AS SELECT * FROM event"); err != nil {
		t.Fatal(err)
	}
	return f, path
}

// problemsAfter tampers inside a transaction, audits the file and takes it back.
func problemsAfter(t testing.TB, f *file, query string, args ...any) []string {
	t.Helper()
	if err := f.exec("BEGIN"); err != nil {
		t.Fatal(err)
	}
	if err := f.exec(query, args...); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	rows, err := f.rows()
	if err != nil {
		t.Fatal(err)
	}
	end, err := f.lastRow()
	if err := errors.Join(err, f.exec("ROLLBACK")); err != nil {
		t.Fatal(err)
	}
	return audit(rows, end)
}

// TestEveryByte changes each byte of each body, hash and id of the file, one at
// a time: the report is one sentence that names the event and what was changed.
// Without SOAKTAG_CI those of every fifth event.
func TestEveryByte(t *testing.T) {
	f, _ := study100(t)
	rows, err := f.rows()
	if err != nil || len(rows) != 100 {
		t.Fatal(len(rows), err)
	}
	if got := problemsAfter(t, f, "SELECT 1"); len(got) > 0 {
		t.Fatal(got)
	}
	for i, r := range rows {
		if i%atLength(1, 5) > 0 {
			continue
		}
		everyByte(t, f, r, "body", r.body, fmt.Sprintf("event %d: its content was changed", r.seq))
		everyByte(t, f, r, "hash", r.hash, fmt.Sprintf("event %d: its hash was changed, its content was not", r.seq))
		everyByte(t, f, r, "id", []byte(r.id), fmt.Sprintf("event %d: its id was changed from %q to ", r.seq, r.id))
	}
}

func everyByte(t *testing.T, f *file, r row, column string, value []byte, want string) {
	t.Helper()
	query := fmt.Sprintf("UPDATE event SET %s = ? WHERE seq = ?", column)
	for i := range value {
		flipped := append([]byte(nil), value...)
		flipped[i] ^= 1 << (i % 8)
		var arg any = flipped
		if column == "id" {
			arg = string(flipped)
		}
		got := problemsAfter(t, f, query, arg, r.seq)
		if len(got) != 1 || !strings.HasPrefix(got[0], want) {
			t.Fatalf("%s of event %d, byte %d: got %q, want %q", column, r.seq, i, got, want)
		}
	}
}

// TestEveryRow deletes, doubles and swaps each row, and cuts each tail.
func TestEveryRow(t *testing.T) {
	f, _ := study100(t)
	expect := func(what string, got []string, want string) {
		t.Helper()
		if len(got) == 0 || !regexp.MustCompile(want).MatchString(strings.Join(got, "\n")) {
			t.Errorf("%s: got %q, want %s", what, got, want)
		}
	}
	const swap = `DELETE FROM event WHERE seq IN (?1, ?2);
		INSERT INTO event SELECT ?1, id, body, hash FROM aside WHERE seq = ?2;
		INSERT INTO event SELECT ?2, id, body, hash FROM aside WHERE seq = ?1`
	for n := 1; n <= 100; n++ {
		want := fmt.Sprintf("^event %d is missing$", n)
		if n == 100 {
			want = "^the log was cut off after event 99: 100 events were recorded$"
		}
		expect(fmt.Sprint("deleted ", n), problemsAfter(t, f, "DELETE FROM event WHERE seq = ?", n), want)
		expect(fmt.Sprint("cut after ", n-1), problemsAfter(t, f, "DELETE FROM event WHERE seq >= ?", n),
			fmt.Sprintf("^the log was cut off after event %d: 100 events were recorded$", n-1))
		expect(fmt.Sprint("doubled ", n), problemsAfter(t, f, "INSERT INTO event SELECT 101, 'copy', body, hash FROM event WHERE seq = ?", n),
			fmt.Sprintf("^event 101 is a copy of event %d\nevents after 100 were put in", n))
		expect(fmt.Sprint("closed up over ", n), problemsAfter(t, f, "DELETE FROM event WHERE seq = ?1; UPDATE event SET seq = -seq WHERE seq > ?1; "+
			"UPDATE event SET seq = -seq - 1 WHERE seq < 0", n), "the log was cut off after event 99: 100 events were recorded$")
		for _, m := range []int{n%100 + 1, (n+49)%100 + 1} {
			expect(fmt.Sprintf("swapped %d and %d", n, m), problemsAfter(t, f, swap, n, m),
				fmt.Sprintf("(place %d was moved|place %d: it was moved)(.|\n)*(place %d was moved|place %d: it was moved)", min(n, m), min(n, m), max(n, m), max(n, m)))
		}
	}
	expect("end row", problemsAfter(t, f, "UPDATE head SET hash = zeroblob(32)"), "^the row that says where the log ends was changed")
	expect("end count", problemsAfter(t, f, "UPDATE head SET count = 99"), "^events after 99 were put in")
	expect("no end row", problemsAfter(t, f, "DELETE FROM head"), "^the row that says where the log ends is missing")
	expect("before the first", problemsAfter(t, f, "INSERT INTO event VALUES(0, 'x', x'00', zeroblob(32))"), "^an event stands at place 0")
	expect("empty", problemsAfter(t, f, "DELETE FROM event"), "^the log was cut off after event 0")
}

// TestVerifyFile goes through the file itself: one change of each kind, and the
// guards put back so that nothing else is amiss.
func TestVerifyFile(t *testing.T) {
	_, good := newStudy(t, 10, 100)
	guards := schema[strings.Index(schema, "CREATE TRIGGER"):]
	const off = "DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete; DROP TRIGGER event_no_replace; "
	for query, want := range map[string]string{
		"UPDATE event SET body = x'010203' WHERE seq = 40": "event 40: its content was changed",
		"DELETE FROM event WHERE seq = 41":                 "event 41 is missing",
		"DELETE FROM event WHERE seq > 98":                 "the log was cut off after event 98",
		"UPDATE event SET id = 'x' WHERE seq = 42":         `event 42: its id was changed from "e000040" to "x"`,
	} {
		path := filepath.Join(t.TempDir(), "study.soaktag")
		copyStudy(t, good, path)
		tamper(t, path, off+query+";"+guards)
		if r := Verify(path); len(r.Problems) != 1 || !strings.HasPrefix(r.Problems[0], want) {
			t.Errorf("%s: %q", query, r.Problems)
		}
	}
	path := filepath.Join(t.TempDir(), "study.soaktag")
	copyStudy(t, good, path)
	tamper(t, path, "DROP TRIGGER event_no_delete; CREATE TABLE mine(x)")
	if r := Verify(path); len(r.Problems) != 2 {
		t.Errorf("%q", r.Problems)
	}
	onlyFiles(t, filepath.Dir(path), "study.soaktag")
	for _, name := range []string{filepath.Join(t.TempDir(), "missing"), t.TempDir()} {
		if r := Verify(name); len(r.Problems) != 1 {
			t.Errorf("%q", r.Problems)
		}
	}
}

// TestEveryPage flips bytes of the raw file, a few in each stretch of it: the
// file is found damaged, or reads exactly as before (the byte lay in unused
// space). Nothing panics.
func TestEveryPage(t *testing.T) {
	db, good := newStudy(t, 10, 100)
	dir := t.TempDir()
	path := filepath.Join(dir, "flipped.soaktag")
	if err := db.Backup(path); err != nil {
		t.Fatal(err)
	}
	want, whole := Verify(good), read(t, path)
	found := 0
	for i := 0; i < len(whole); i += 61 {
		flipped := append([]byte(nil), whole...)
		flipped[i] ^= 0x10
		if err := os.WriteFile(path, flipped, 0o644); err != nil {
			t.Fatal(err)
		}
		r := Verify(path)
		if len(r.Problems) > 0 {
			found++
		} else if r.Head != want.Head || r.Events != want.Events {
			t.Errorf("byte %d: %+v", i, r)
		}
	}
	t.Logf("%d of %d flips lay in used space", found, (len(whole)+60)/61)
	if found < len(whole)/61/3 {
		t.Errorf("only %d flips were found", found)
	}
}

// TestCutFile cuts the file short at every page and between.
func TestCutFile(t *testing.T) {
	db, _ := newStudy(t, 10, 100)
	path := filepath.Join(t.TempDir(), "cut.soaktag")
	if err := db.Backup(path); err != nil {
		t.Fatal(err)
	}
	for whole, n := read(t, path), 0; n < len(whole); n += 1024 {
		if err := os.WriteFile(path, whole[:n], 0o644); err != nil {
			t.Fatal(err)
		}
		if r := Verify(path); len(r.Problems) == 0 {
			t.Errorf("cut to %d bytes: %+v", n, r)
		}
		if _, err := Open(path, readPlan); err == nil {
			t.Errorf("opened, cut to %d bytes", n)
		}
	}
}
