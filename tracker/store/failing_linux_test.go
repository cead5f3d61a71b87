package store

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// failing makes the test binary a process that goes on after errors, and how: true to
// what the store says, or taking an error for nothing.
const failing = "SOAKTAG_TEST_FAILING"

// init keeps that process on one thread: strace counts the calls of each by itself.
func init() {
	if os.Getenv(failing) != "" {
		runtime.LockOSThread()
	}
}

// workFailing records n events, each once more where the first try failed, and prints of
// each "kept", "not" or "unknown".
func workFailing(db *DB, name string, n int) error {
	for i := range n {
		e := stageEvent(i, 10)
		e.ID = fmt.Sprintf("%s-%d", name, i)
		_, err := db.Record(e)
		if err != nil && i%2 == 0 {
			_, err = db.Record(e)
		}
		fmt.Println(outcome(err), e.ID)
	}
	return db.Close()
}

func outcome(err error) string {
	switch {
	case err == nil || os.Getenv(failing) == "blind":
		return "kept"
	case errors.Is(err, ErrUnknown):
		return "unknown"
	}
	return "not"
}

// TestFailingCalls lets the first write fail, then the second, and so on until a run meets
// no failure; so each sync, cut and removal of a file. Each fails once and, in runs of their
// own, for ever from there on. What was acknowledged is in the study; what was called not
// recorded is not; the study is whole, and goes on.
func TestFailingCalls(t *testing.T) {
	if _, err := exec.LookPath("strace"); err != nil {
		t.Skip("needs strace, which makes a system call fail")
	}
	for _, call := range []string{"pwrite64", "fsync", "ftruncate", "unlink"} {
		for _, more := range []string{"", "+"} {
			t.Run(call+more, func(t *testing.T) { failEach(t, call, more) })
		}
	}
	if !blindLoses(t) {
		t.Error("a process that takes an error for nothing loses nothing: the test finds nothing")
	}
}

func failEach(t *testing.T, call, more string) {
	for n, step := 1, inFull(1, 1, 4); ; n += step {
		said, hit := failAt(t, call, fmt.Sprint(n, more))
		if t.Failed() {
			t.Fatalf("%s %d%s failed:\n%s", call, n, more, said)
		}
		if !hit {
			t.Logf("%d calls", (n-1)/step)
			return
		}
	}
}

func blindLoses(t *testing.T) bool {
	for n := 3; n < 30; n++ {
		path, said, _ := runFailing(t, "pwrite64", fmt.Sprint(n, "+"), "blind")
		if len(lost(t, path, theirs(said, "kept"))) > 0 {
			return true
		}
	}
	return false
}

func failAt(t *testing.T, call, when string) (said string, hit bool) {
	t.Helper()
	path, said, hit := runFailing(t, call, when, "true")
	if gone := lost(t, path, theirs(said, "kept")); len(gone) > 0 {
		t.Errorf("acknowledged, and lost: %v", gone)
	}
	not := theirs(said, "not")
	if gone := lost(t, path, not); len(gone) < len(not) {
		t.Errorf("said not to be recorded: %v; of these only %v are not", not, gone)
	}
	return said, hit
}

// theirs are the ids of which a process said so.
func theirs(said, what string) (ids []string) {
	for line := range strings.Lines(said) {
		if id, ok := strings.CutPrefix(strings.TrimSpace(line), what+" "); ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// runFailing runs a process on a new study, of whose calls those named by when fail.
func runFailing(t *testing.T, call, when, how string) (path, said string, hit bool) {
	t.Helper()
	db, path := newStudy(t, 10, 1)
	mustClose(t, db)
	cmd := worker(path, "f", 6)
	trace := filepath.Join(t.TempDir(), "trace")
	cmd.Args = append([]string{"strace", "-q", "-o", trace, "-e", "trace=" + call, "-e", "inject=" + call + ":error=EIO:when=" + when}, cmd.Path)
	cmd.Path, _ = exec.LookPath("strace")
	cmd.Env = append(cmd.Env, failing+"="+how)
	cmd.Stderr = nil // it says what failed
	out, _ := cmd.Output()
	calledBy, err := os.ReadFile(trace)
	if err != nil {
		t.Skipf("strace may trace nothing here: %v", err)
	}
	return path, string(out), strings.Contains(string(calledBy), "INJECTED")
}
