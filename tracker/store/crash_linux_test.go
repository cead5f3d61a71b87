package store

import (
	"bufio"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// Of each of these tests it is shown that it can fail: with a fault put into the process
// that records (workerFault) it finds events that were acknowledged and are lost.

// acknowledged reads what a process says to be recorded, line by line.
type acknowledged struct {
	cmd   *exec.Cmd
	lines chan string
	all   []string
}

func startWorker(t *testing.T, cmd *exec.Cmd) *acknowledged {
	t.Helper()
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	a := &acknowledged{cmd: cmd, lines: make(chan string)}
	go func() {
		defer close(a.lines)
		for in := bufio.NewScanner(out); in.Scan(); {
			a.lines <- in.Text()
		}
	}()
	return a
}

// until waits for so many lines.
func (a *acknowledged) until(n int) {
	for len(a.all) < n {
		line, more := <-a.lines
		if !more {
			return
		}
		a.all = append(a.all, line)
	}
}

// rest takes what was said already, once the process stands still.
func (a *acknowledged) rest() {
	for {
		select {
		case line, more := <-a.lines:
			if !more {
				return
			}
			a.all = append(a.all, line)
		case <-time.After(20 * time.Millisecond):
			return
		}
	}
}

// lost lists what was acknowledged and is not in a study, and wants the study whole.
func lost(t *testing.T, path string, said []string) (gone []string) {
	t.Helper()
	if r := Verify(path); len(r.Problems) > 0 && !strings.Contains(r.Problems[0], "were recorded are missing") {
		t.Fatalf("%q", r.Problems)
	}
	db, err := Open(path, readPlan)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rec := mustState(t, db)
	for _, id := range said {
		if _, kept := rec.Event(id); !kept {
			gone = append(gone, id)
		}
	}
	return gone
}

// inFull says how often something is done: all with SOAKTAG_LONG set, else a part.
func inFull(all, ci, few int) int {
	if os.Getenv("SOAKTAG_LONG") != "" {
		return all
	}
	return atLength(ci, few)
}

// TestKills kills a process that records one event after the other, one that keeps
// photographs, and one that records many at once: 1,000 times with SOAKTAG_LONG=1.
func TestKills(t *testing.T) {
	for name, env := range map[string]string{"events": "", "photographs": workerPhotos + "=1", "many": workerMany + "=40"} {
		t.Run(name, func(t *testing.T) {
			kills := inFull(334, 12, 3)
			said := 0
			for n, dice := 0, rand.New(rand.NewPCG(14, 1)); n < kills; n++ {
				gone, all := killed(t, dice, env)
				if said += all; len(gone) > 0 {
					t.Fatalf("kill %d: %d of %d acknowledged are lost: %v", n, len(gone), all, gone)
				}
			}
			t.Logf("%d kills, %d acknowledged, 0 lost", kills, said)
		})
	}
	faulty := 0
	for n, dice := 0, rand.New(rand.NewPCG(14, 2)); n < 40 && faulty == 0; n++ {
		gone, _ := killed(t, dice, workerFault+"=says before it records")
		faulty += len(gone)
	}
	if faulty == 0 {
		t.Error("a process that says so before it records loses nothing: the test finds nothing")
	}
}

// killed begins a study, kills the process that records in it, and returns what is lost
// of how much.
func killed(t *testing.T, dice *rand.Rand, env string) (gone []string, said int) {
	t.Helper()
	db, path := newStudy(t, 10, 1)
	mustClose(t, db)
	cmd := worker(path, "k", 100000)
	cmd.Env = append(cmd.Env, env)
	a := startWorker(t, cmd)
	a.until(1 + dice.IntN(30))
	time.Sleep(time.Duration(dice.IntN(3000)) * time.Microsecond)
	_ = cmd.Process.Kill() // it may have ended
	a.until(1 << 30)
	_ = cmd.Wait()
	return lost(t, path, a.all), len(a.all)
}

// TestPowerCuts copies the disk under a process that records as it is at some moment,
// which is what a power cut leaves, and looks whether all is on it that was acknowledged
// until then: 100 times with SOAKTAG_LONG=1.
func TestPowerCuts(t *testing.T) {
	cuts, said := inFull(100, 6, 2), 0
	for n, dice := 0, rand.New(rand.NewPCG(14, 3)); n < cuts; n++ {
		gone, all := cutOff(t, dice, "")
		if said += all; len(gone) > 0 {
			t.Fatalf("cut %d: %d of %d acknowledged are lost: %v", n, len(gone), all, gone)
		}
	}
	t.Logf("%d power cuts, %d acknowledged, 0 lost", cuts, said)
	faulty := 0
	for n, dice := 0, rand.New(rand.NewPCG(14, 4)); n < 10 && faulty == 0; n++ {
		gone, _ := cutOff(t, dice, workerFault+"=syncs seldom")
		faulty += len(gone)
	}
	if faulty == 0 {
		t.Error("with synchronous=NORMAL nothing is lost: the test finds nothing")
	}
}

func cutOff(t *testing.T, dice *rand.Rand, env string) (gone []string, said int) {
	t.Helper()
	dir := t.TempDir()
	disk, at := filepath.Join(dir, "disk"), filepath.Join(dir, "at")
	newDisk(t, disk)
	defer mount(t, disk, at)()
	path := filepath.Join(at, "study.soaktag")
	db, err := Create(path, begun(10), readPlan)
	if err != nil {
		t.Fatal(err)
	}
	mustClose(t, db)
	cmd := worker(path, "p", 100000)
	cmd.Env = append(cmd.Env, env)
	a := startWorker(t, cmd)
	a.until(20 + dice.IntN(100))
	if err := cmd.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	a.rest()
	copied := filepath.Join(dir, "copy")
	copyFile(t, disk, copied)
	_ = cmd.Process.Kill()
	acknowledged := slices.Clone(a.all)
	a.until(1 << 30)
	_ = cmd.Wait()
	later := filepath.Join(dir, "later")
	defer mount(t, copied, later)()
	return lost(t, filepath.Join(later, "study.soaktag"), acknowledged), len(acknowledged)
}

func newDisk(t *testing.T, name string) {
	t.Helper()
	f, err := os.Create(name)
	if err == nil {
		err = f.Truncate(32 << 20)
	}
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	if out, err := exec.Command("mkfs.ext4", "-q", "-F", name).CombinedOutput(); err != nil {
		t.Skipf("needs a file system in a file: %v %s", err, out)
	}
}

// mount mounts a file system that lies in a file, or skips where that is not allowed.
func mount(t *testing.T, disk, at string) (unmount func()) {
	t.Helper()
	if err := os.MkdirAll(at, 0o755); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-o", "loop", disk, at).CombinedOutput(); err != nil {
		t.Skipf("needs to mount a file system, which is not allowed here: %v %s", err, out)
	}
	return func() {
		if out, err := exec.Command("umount", at).CombinedOutput(); err != nil {
			t.Errorf("%v %s", err, out)
		}
	}
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	in, err := os.Open(from)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	out, err := os.Create(to)
	if err == nil {
		_, err = io.Copy(out, in)
	}
	if err != nil {
		t.Fatal(err)
	}
	out.Close()
}
