package store

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

func sorted(names ...string) []string {
	slices.Sort(names)
	return names
}

func TestBackupAndRestore(t *testing.T) {
	db, path := newStudy(t, 10, 400)
	head, n := mustHead(t, db)
	dir := t.TempDir()
	backup, back := filepath.Join(dir, "b.soaktag"), filepath.Join(dir, "r.soaktag")
	if err := db.Backup(backup); err != nil {
		t.Fatal(err)
	}
	if IsBackup(path) || !IsBackup(backup) || IsBackup(dir) {
		t.Error("a backup and a study are not told apart")
	}
	mustRecord(t, db, stageEvent(5000, 10)) // the backup is of before
	if r := Verify(backup); r.Head != head || r.Events != n || len(r.Problems) > 0 {
		t.Errorf("backup: %+v", r)
	}
	if err := Restore(backup, back, readPlan); err != nil {
		t.Fatal(err)
	}
	onlyFiles(t, dir, "b.soaktag", "r.soaktag")
	restored := mustOpen(t, back)
	if h, n2 := mustHead(t, restored); h != head || n2 != n {
		t.Errorf("restored head %s of %d, want %s of %d", h, n2, head, n)
	}
	mustRecord(t, restored, stageEvent(6000, 10))
	for _, target := range []string{path, backup, back} {
		before := read(t, target)
		if err := errors.Join(db.Backup(target)); !errors.Is(err, fs.ErrExist) {
			t.Errorf("backup over %s: %v", target, err)
		}
		if err := Restore(backup, target, readPlan); !errors.Is(err, fs.ErrExist) {
			t.Errorf("restore over %s: %v", target, err)
		}
		if !bytes.Equal(before, read(t, target)) {
			t.Errorf("%s was written to", target)
		}
	}
}

// TestBackupAgain: an older backup of the study gives way, and nothing else does.
func TestBackupAgain(t *testing.T) {
	db, path := newStudy(t, 10, 40)
	other, _ := newStudy(t, 10, 41)
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	if err := errors.Join(db.Backup(in("mine")), db.Backup(in("ahead.base")), other.Backup(in("other")), os.WriteFile(in("text"), []byte("my notes"), 0o644)); err != nil {
		t.Fatal(err)
	}
	if err := Restore(in("ahead.base"), in("ahead.study"), readPlan); err != nil {
		t.Fatal(err)
	}
	ahead := mustOpen(t, in("ahead.study"))
	mustRecord(t, ahead, stageEvent(7000, 10))
	if err := ahead.Backup(in("ahead")); err != nil {
		t.Fatal(err)
	}
	mustRecord(t, db, stageEvent(5000, 10))
	head, n := mustHead(t, db)
	for range 2 { // the second time over a copy as new as itself
		if err := db.BackupAgain(in("mine")); err != nil {
			t.Fatal(err)
		}
	}
	if r := Verify(in("mine")); r.Head != head || r.Events != n || len(r.Problems) > 0 || !IsBackup(in("mine")) {
		t.Errorf("the new backup: %+v", r)
	}
	for _, target := range []string{path, in("ahead.study"), in("ahead"), in("other"), in("text")} {
		before := read(t, target)
		if err := db.BackupAgain(target); !errors.Is(err, fs.ErrExist) {
			t.Errorf("over %s: %v", target, err)
		}
		if !bytes.Equal(before, read(t, target)) {
			t.Errorf("%s was written to", target)
		}
	}
	if parts, _ := filepath.Glob(in("*.part*")); len(parts) > 0 {
		t.Errorf("left behind: %v", parts)
	}
}

// TestStaleJournal: a study is recorded to, the process dies, and only the
// study's own file is moved away. What it left behind must not get into
// another file that takes the name.
func TestStaleJournal(t *testing.T) {
	db, _ := newStudy(t, 10, 40)
	dir := t.TempDir()
	backup, to := filepath.Join(dir, "b.soaktag"), filepath.Join(dir, "a.soaktag")
	var log bytes.Buffer
	end, events, err := db.WriteLog(&log)
	if err := errors.Join(db.Backup(backup), err); err != nil {
		t.Fatal(err)
	}
	for _, tail := range []string{"-wal", "-shm", "-journal"} {
		write(t, to+tail, "of another study")
		_, created := Create(to, begun(1), readPlan)
		for name, err := range map[string]error{"create": created, "restore": Restore(backup, to, readPlan),
			"log": RestoreLog(bytes.NewReader(log.Bytes()), to, readPlan, nil, end, events), "backup": db.Backup(to)} {
			if !errors.Is(err, fs.ErrExist) || !strings.Contains(err.Error(), to+tail+": these belong to another study file") {
				t.Errorf("%s beside %s: %v", name, tail, err)
			}
		}
		onlyFiles(t, dir, "a.soaktag"+tail, "b.soaktag")
		if err := os.Remove(to + tail); err != nil {
			t.Fatal(err)
		}
	}
	write(t, partOf(to)+"-wal", "of a restore that was killed by that number")
	if err := Restore(backup, to, readPlan); err != nil {
		t.Fatal(err)
	}
	if r := Verify(to); r.Events != 40 || len(r.Problems) > 0 {
		t.Errorf("%+v", r)
	}
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestDamageStaysOut: damage is neither backed up, restored nor opened.
func TestDamageStaysOut(t *testing.T) {
	db, path := newStudy(t, 10, 30)
	tamper(t, path, "DROP TRIGGER event_no_update; UPDATE event SET body = CAST(replace(CAST(body AS TEXT), 'Anna', 'Anne') AS BLOB) WHERE seq = 7")
	dir := t.TempDir()
	to := filepath.Join(dir, "x.soaktag")
	_, _, logErr := db.WriteLog(&bytes.Buffer{})
	for name, err := range map[string]error{"backup": db.Backup(to), "restore": Restore(path, to, readPlan), "log": logErr} {
		if !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: %v", name, err)
		}
	}
	onlyFiles(t, dir)
	_, err := Open(path, readPlan)
	if !errors.Is(err, ErrDamaged) || !strings.Contains(err.Error(), "soaktag verify") || !strings.Contains(err.Error(), "soaktag restore") {
		t.Errorf("open: %v", err)
	}
}

func TestRestoreRefuses(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	write(t, in("empty"), "")
	write(t, in("text"), "text")
	for name, cause := range map[string]error{"missing": fs.ErrNotExist, ".": ErrFolder, "empty": ErrEmpty, "text": ErrNotSoaktag} {
		if err := Restore(in(name), in("to"), readPlan); !errors.Is(err, cause) {
			t.Errorf("%s: %v", name, err)
		}
	}
	onlyFiles(t, dir, "empty", "text")
}

func TestLogInWords(t *testing.T) {
	db, _ := newStudy(t, 10, 20)
	mustKeep(t, db, fullPhoto, fullEvent(), minEvent())
	var log bytes.Buffer
	end, events, err := db.WriteLog(&log)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "back.soaktag")
	if err := RestoreLog(bytes.NewReader(log.Bytes()), path, readPlan, photosOf(db), end, events); err != nil {
		t.Fatal(err)
	}
	back := mustOpen(t, path)
	head, n := mustHead(t, db)
	if h, n2 := mustHead(t, back); h != head || n2 != n || end != head || events != n {
		t.Errorf("head %s of %d, log %s of %d, want %s of %d", h, n2, end, events, head, n)
	}
	if !reflect.DeepEqual(mustState(t, back).Events(), mustState(t, db).Events()) {
		t.Error("the events differ")
	}
	var again bytes.Buffer
	if _, _, err := back.WriteLog(&again); err != nil || !bytes.Equal(again.Bytes(), log.Bytes()) {
		t.Errorf("the log differs: %v", err)
	}
	if lines := strings.Count(log.String(), "\n"); lines != 22 {
		t.Errorf("%d lines", lines)
	}
	for _, want := range []string{`"kind":"tried"`, `"at_from":"2026-03-10T12:00:00.123Z"`, `"plan":"Oar loft"`, `"reading":"1310 psi"`, `"wood_failure_pct":0,`} {
		if !strings.Contains(log.String(), want) {
			t.Errorf("the log lacks %s", want)
		}
	}
}

// TestLogTampered changes a log in every way that a person could.
func TestLogTampered(t *testing.T) {
	db, path := newStudy(t, 10, 12)
	var log bytes.Buffer
	head, events, err := db.WriteLog(&log)
	if err != nil {
		t.Fatal(err)
	}
	whole := strings.SplitAfter(log.String(), "\n")
	dir := t.TempDir()
	for name, c := range map[string]struct {
		line string
		edit func(lines []string) []string
	}{
		"a word":        {"line 5:", func(l []string) []string { l[4] = strings.Replace(l[4], "Anna", "Anne", 1); return l }},
		"a hash":        {"line 5:", func(l []string) []string { l[4] = strings.Replace(l[4], `"hash":"`, `"hash":"0`, 1); return l }},
		"a field more":  {"line 5:", func(l []string) []string { l[4] = strings.Replace(l[4], "{", `{"x":1,`, 1); return l }},
		"a kind":        {"line 5:", func(l []string) []string { l[4] = strings.Replace(l[4], `"stage"`, `"stag"`, 1); return l }},
		"a time":        {"line 5:", func(l []string) []string { l[4] = strings.Replace(l[4], `T12`, ` 12`, 1); return l }},
		"no JSON":       {"line 5:", func(l []string) []string { l[4] = "x\n"; return l }},
		"two in one":    {"line 5:", func(l []string) []string { l[4] = strings.TrimSpace(l[4]) + "{}\n"; return l }},
		"a line less":   {"line 5:", func(l []string) []string { return slices.Delete(l, 4, 5) }},
		"a line twice":  {"line 6:", func(l []string) []string { return slices.Insert(l, 5, l[4]) }},
		"swapped":       {"line 5:", func(l []string) []string { l[4], l[5] = l[5], l[4]; return l }},
		"no first line": {"line 1:", func(l []string) []string { return l[1:] }},
		"nothing":       {"empty", func(l []string) []string { return nil }},
		"cut short":     {"ends with event 10, but it had 12", func(l []string) []string { return l[:10] }},
		"cut in a line": {"line 12:", func(l []string) []string { l[11] = l[11][:40]; return l }},
	} {
		text := strings.Join(c.edit(slices.Clone(whole)), "")
		err := RestoreLog(strings.NewReader(text), filepath.Join(dir, "x.soaktag"), readPlan, nil, head, events)
		if !errors.Is(err, ErrLine) || !strings.Contains(err.Error(), c.line) {
			t.Errorf("%s: %v", name, err)
		}
	}
	onlyFiles(t, dir)
	text := log.String()
	if err := RestoreLog(strings.NewReader(text), filepath.Join(dir, "x.soaktag"), readPlan, nil, head, events-1); !errors.Is(err, ErrLine) {
		t.Errorf("with a head of another log: %v", err)
	}
	if err := RestoreLog(&log, path, readPlan, nil, head, events); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over a study: %v", err)
	}
}

// FuzzReadLines: no log in words makes it panic, and what is taken is canonical.
func FuzzReadLines(f *testing.F) {
	f.Add([]byte(`{"seq":1,"id":"a","kind":"begun","plan":"x","hash":""}`))
	f.Add([]byte("\n{}\n[]"))
	f.Fuzz(func(t *testing.T, text []byte) {
		entries, err := readLines(bytes.NewReader(text), start(), newRecord(), promise{})
		for _, e := range entries {
			if _, bad := Decode(e.body); err == nil && bad != nil {
				t.Errorf("took %q", e.body)
			}
		}
	})
}
