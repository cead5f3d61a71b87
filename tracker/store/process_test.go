package store

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/tracker"
)

// workerStudy, workerName and workerEvents make the test binary a process that
// records: into which study, under which name, how many events, and whether
// each keeps a photograph; how many at once, and with which fault.
const (
	workerStudy  = "SOAKTAG_TEST_STUDY"
	workerName   = "SOAKTAG_TEST_NAME"
	workerEvents = "SOAKTAG_TEST_EVENTS"
	workerPhotos = "SOAKTAG_TEST_PHOTOS"
	workerMany   = "SOAKTAG_TEST_MANY"
	workerFault  = "SOAKTAG_TEST_FAULT"
)

func TestMain(m *testing.M) {
	if os.Getenv(workerStudy) != "" {
		os.Exit(work())
	}
	os.Exit(m.Run())
}

// work records one event at a time and prints the id of each that was recorded.
func work() int {
	db, err := Open(os.Getenv(workerStudy), readPlan)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	n, _ := strconv.Atoi(os.Getenv(workerEvents))
	if os.Getenv(failing) != "" {
		if err := workFailing(db, os.Getenv(workerName), n); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		return 0
	}
	if os.Getenv(workerMany)+os.Getenv(workerFault) != "" {
		if err := workFaulty(db, os.Getenv(workerName), n); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		return 0
	}
	for i := range n {
		e := stageEvent(i, 10)
		e.ID = fmt.Sprintf("%s-%d", os.Getenv(workerName), i)
		if err := workOn(db, e, i); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println(e.ID)
	}
	if err := db.Close(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

func workOn(db *DB, e tracker.Event, i int) error {
	if os.Getenv(workerPhotos) == "" {
		_, err := db.Record(e)
		return err
	}
	photo := append(picture(i, 200_000), e.ID...)
	kept := photoEvent(i, photo)
	kept.ID += e.ID
	_, err := db.Keep(photo, e, kept)
	return err
}

func worker(path, name string, events int) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), workerStudy+"="+path, workerName+"="+name, workerEvents+"="+strconv.Itoa(events))
	cmd.Stderr = os.Stderr
	return cmd
}

// TestProcesses: three processes and this one record at once; nothing is lost,
// and all see the same log.
func TestProcesses(t *testing.T) {
	db, path := newStudy(t, 10, 1)
	const each = 60
	names := []string{"a", "b", "c"}
	var wg sync.WaitGroup
	for _, name := range names {
		wg.Go(func() {
			if out, err := worker(path, name, each).Output(); err != nil || strings.Count(string(out), "\n") != each {
				t.Errorf("%s: %v\n%s", name, err, out)
			}
		})
	}
	for i := range each {
		mustRecord(t, db, stageEvent(i, 10))
	}
	wg.Wait()
	rec := mustState(t, db)
	for _, name := range names {
		for i := range each {
			if _, kept := rec.Event(fmt.Sprintf("%s-%d", name, i)); !kept {
				t.Errorf("%s-%d is lost", name, i)
			}
		}
	}
	if r := Verify(path); r.Events != 4*each+1 || len(r.Problems) > 0 {
		t.Errorf("%+v", r)
	}
}

// TestGoroutines: one DB serves several goroutines.
func TestGoroutines(t *testing.T) {
	db, path := newStudy(t, 10, 1)
	var wg sync.WaitGroup
	for g := range 4 {
		wg.Go(func() {
			for i := range 25 {
				if _, err := db.Record(stageEvent(100*g+i, 10)); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if r := Verify(path); r.Events != 101 || len(r.Problems) > 0 {
		t.Errorf("%+v", r)
	}
}

// TestKill kills a recording process again and again: every id that it printed
// is in the file, and the file is whole.
func TestKill(t *testing.T) {
	_, path := newStudy(t, 10, 1)
	var said []string
	for round := range 8 {
		said = append(said, killedAfter(t, worker(path, fmt.Sprintf("r%d", round), 100000), 20+7*round)...)
	}
	rec := mustState(t, mustOpen(t, path))
	for _, id := range said {
		if _, kept := rec.Event(id); !kept {
			t.Errorf("%s was said to be recorded and is lost", id)
		}
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Events < int64(len(said))+1 {
		t.Errorf("%d said, %+v", len(said), r)
	}
	t.Logf("8 kills, %d events said to be recorded", len(said))
}

// killedAfter kills a worker after so many lines and returns all it printed.
func killedAfter(t *testing.T, cmd *exec.Cmd, lines int) (said []string) {
	t.Helper()
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	in := bufio.NewScanner(out)
	for in.Scan() {
		if said = append(said, in.Text()); len(said) == lines {
			_ = cmd.Process.Kill() // it may have printed some more before it died
		}
	}
	_ = cmd.Wait() // killed
	return said
}

// smallDisk mounts a file system of 1 MB, or skips where that is not allowed.
func smallDisk(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("needs a small file system, and mounting one is not allowed here: %v %s", err, out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", dir).CombinedOutput(); err != nil {
			t.Errorf("%v %s", err, out)
		}
	})
	return dir
}

// TestDiskFull: what does not fit is not recorded, and is said so; with space
// freed the same DB goes on.
func TestDiskFull(t *testing.T) {
	dir := smallDisk(t)
	path, junk := filepath.Join(dir, "study.soaktag"), filepath.Join(dir, "junk")
	db, err := Create(path, begun(10), readPlan)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	write(t, junk, strings.Repeat("x", 300<<10))
	kept := recordUntilFull(t, db)
	rec := mustState(t, db)
	if n := len(rec.Events()); n != kept+1 {
		t.Errorf("the record holds %d events, %d were recorded", n, kept+1)
	}
	if err := db.Backup(filepath.Join(dir, "b.soaktag")); err == nil {
		t.Error("a backup found space where there was none")
	}
	if err := os.Remove(junk); err != nil {
		t.Fatal(err)
	}
	mustRecord(t, db, stageEvent(90000, 10))
	if err := db.Close(); err != nil {
		t.Error(err)
	}
	if r := Verify(path); len(r.Problems) > 0 || r.Events != int64(kept)+2 {
		t.Errorf("%d kept, %+v", kept, r)
	}
	_ = os.WriteFile(junk, make([]byte, 2<<20), 0o644) // as much of it as fits
	if _, err := Open(path, readPlan); !errors.Is(err, ErrFull) {
		t.Errorf("open on a full disk: %v", err)
	}
	if _, err := Create(filepath.Join(dir, "new.soaktag"), begun(10), readPlan); !errors.Is(err, ErrFull) {
		t.Errorf("create on a full disk: %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "new*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
}

// TestReadOnAFullDisk: what records nothing works as on a disk that is read-only,
// also where a part of the study is still in the journal.
func TestReadOnAFullDisk(t *testing.T) {
	for _, journal := range []bool{false, true} {
		dir := smallDisk(t)
		path := filepath.Join(dir, "study.soaktag")
		db, good := newStudy(t, 10, 30)
		_, n := mustHead(t, db)
		if !journal {
			if err := db.Close(); err != nil {
				t.Fatal(err)
			}
		} else {
			write(t, path+"-wal", string(read(t, good+"-wal")))
		}
		write(t, path, string(read(t, good)))
		_ = os.WriteFile(filepath.Join(dir, "junk"), make([]byte, 2<<20), 0o644) // as much of it as fits
		if _, err := Open(path, readPlan); !errors.Is(err, ErrFull) {
			t.Fatalf("journal %t: the disk is not full: %v", journal, err)
		}
		if r := Verify(path); r.Events != n || len(r.Problems) > 0 {
			t.Errorf("journal %t: verify: %+v", journal, r)
		}
		full, err := OpenToRead(path, readPlan)
		if err != nil {
			t.Fatalf("journal %t: %v", journal, err)
		}
		if events := len(mustState(t, full).Events()); int64(events) != n {
			t.Errorf("journal %t: %d events of %d", journal, events, n)
		}
		if err := full.Backup(filepath.Join(t.TempDir(), "b.soaktag")); err != nil {
			t.Errorf("journal %t: backup to another disk: %v", journal, err)
		}
		if _, err := full.Record(stageEvent(500, 10)); err == nil || !strings.HasPrefix(err.Error(), "NOT recorded") {
			t.Errorf("journal %t: record: %v", journal, err)
		}
		if err := full.Close(); err != nil {
			t.Errorf("journal %t: close: %v", journal, err)
		}
	}
}

func recordUntilFull(t *testing.T, db *DB) int {
	t.Helper()
	for i := range 10000 {
		e := stageEvent(i, 10)
		e.Note = strings.Repeat("wet ", 500)
		if _, err := db.Record(e); err != nil {
			if !errors.Is(err, ErrFull) || !strings.HasPrefix(err.Error(), "NOT recorded") {
				t.Errorf("err = %v", err)
			}
			return i
		}
	}
	t.Fatal("the disk was never full")
	return 0
}

// TestReadOnlyDisk: permissions say yes, the disk says no.
func TestReadOnlyDisk(t *testing.T) {
	dir := smallDisk(t)
	path := filepath.Join(dir, "study.soaktag")
	db, err := Create(path, begun(10), readPlan)
	if err != nil {
		t.Fatal(err)
	}
	mustRecord(t, db, stageEvent(0, 10))
	backup := filepath.Join(dir, "b.soaktag")
	if err := errors.Join(db.Backup(backup), db.Close()); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-o", "remount,ro", dir).CombinedOutput(); err != nil {
		t.Skipf("cannot remount: %v %s", err, out)
	}
	if _, err := Open(path, readPlan); !errors.Is(err, ErrReadOnly) {
		t.Errorf("open: %v", err)
	}
	if _, err := Create(filepath.Join(dir, "new.soaktag"), begun(1), readPlan); !errors.Is(err, ErrReadOnly) {
		t.Errorf("create: %v", err)
	}
	if r := Verify(backup); len(r.Problems) > 0 || r.Events != 2 {
		t.Errorf("a backup on a read-only disk: %+v", r)
	}
	if err := Restore(backup, filepath.Join(t.TempDir(), "r.soaktag"), readPlan); err != nil {
		t.Errorf("restore from a read-only disk: %v", err)
	}
}

// TestStateAfterOther folds nothing twice when two DBs take turns quickly.
func TestStateAfterOther(t *testing.T) {
	a, path := newStudy(t, 10, 1)
	b := mustOpen(t, path)
	for i := range 40 {
		db := []*DB{a, b}[i%2]
		e := tracker.Event{ID: fmt.Sprint("n", i), Kind: tracker.Noted, At: stageEvent(i, 10).At, Recorded: noon.Add(time.Hour), Note: "x"}
		mustRecord(t, db, e)
	}
	if x, y := len(mustState(t, a).Events()), len(mustState(t, b).Events()); x != 41 || y != 41 {
		t.Errorf("%d and %d events", x, y)
	}
}
