package station

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
)

// A shop is a study with the program itself serving it, as a process that can be
// killed, always on the same port.
type shop struct {
	*testing.T
	file, program, address string

	station *exec.Cmd
	keys    io.WriteCloser
	heard   chan string // what the terminal shows, a line each
	said    *strings.Builder

	invitation string // the pairing code that is good now
}

// newShop begins a study of so many specimens, half of them casein and half epoxy, dry
// and soaked, and opens the station. Without a browser to visit it there is no use.
func newShop(t *testing.T, specimens int) *shop {
	t.Helper()
	chromium(t)
	s := &shop{T: t, file: filepath.Join(t.TempDir(), "shop.soaktag"), program: built(t)}
	b := intake.Beginning{Plan: []byte(strings.ReplaceAll(smallPlan, "replicates = 2", fmt.Sprint("replicates = ", specimens/4))), DealtBy: "hand", By: "Mara"}
	for i := range specimens {
		sp := tracker.Specimen{Code: labels.New("HBR", i+1), Adhesive: []string{"CAS", "EPX"}[i%2], Treatment: []string{"dry", "soaked"}[i/2%2], Order: i + 1}
		if sp.Treatment == "soaked" {
			sp.Bath = []string{"B1", "B2"}[i%2]
		}
		b.Dealt = append(b.Dealt, sp)
	}
	if err := intake.Begin(s.file, b, time.Now().Add(-time.Hour)); err != nil {
		t.Fatal(err)
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.address = free.Addr().String()
	free.Close()
	t.Cleanup(s.kill)
	s.open()
	return s
}

// programs is a folder for the program, there as long as the tests run.
var programs string

func TestMain(m *testing.M) {
	var err error
	if programs, err = os.MkdirTemp("", "soaktag-program"); err != nil {
		panic(err)
	}
	status := m.Run()
	os.RemoveAll(programs)
	os.Exit(status)
}

var build = sync.OnceValues(func() (string, error) {
	name := filepath.Join(programs, "soaktag")
	if runtime.GOOS == "windows" {
		name += ".exe"
	}
	out, err := exec.Command("go", "build", "-o", name, "soaktag/cmd/soaktag").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("go build: %w\n%s", err, out)
	}
	program = name
	return name, nil
})

var program string // once it was built

// built is the program, made once for all tests.
func built(t *testing.T) string {
	t.Helper()
	name, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return name
}

// open starts the station.
func (s *shop) open() {
	s.Helper()
	s.station = exec.Command(s.program, "station", "--address", s.address, "--study", s.file)
	var err error
	if s.keys, err = s.station.StdinPipe(); err != nil {
		s.Fatal(err)
	}
	out, err := s.station.StdoutPipe()
	if err != nil {
		s.Fatal(err)
	}
	s.said = &strings.Builder{}
	s.station.Stderr = s.said
	if err := s.station.Start(); err != nil {
		s.Fatal(err)
	}
	heard := make(chan string, 10_000)
	s.heard = heard
	go func() {
		for lines := bufio.NewScanner(out); lines.Scan(); {
			heard <- lines.Text()
		}
		close(heard)
	}()
	s.invitation = s.await(invitation)
}

// invitation is the address that pairs a phone, as the terminal shows it.
const invitation = `http://\S+#pair=\w+`

// invite has the terminal show the next one: a code is good once.
func (s *shop) invite() {
	s.Helper()
	if _, err := io.WriteString(s.keys, "\n"); err != nil {
		s.Fatal(err)
	}
	s.invitation = s.await(invitation)
}

// kill ends the station as a power cut would.
func (s *shop) kill() {
	if s.station == nil {
		return
	}
	_ = s.station.Process.Kill()
	_ = s.station.Wait()
	s.station = nil
}

// await waits for a line of the terminal that matches, and returns the match.
func (s *shop) await(pattern string) string {
	s.Helper()
	for want, late := regexp.MustCompile(pattern), time.After(30*time.Second); ; {
		select {
		case line, ok := <-s.heard:
			if found := want.FindString(line); found != "" {
				return found
			}
			if !ok {
				s.Fatalf("the station ended before it said %s: %s", pattern, s.said)
			}
		case <-late:
			s.Fatalf("the station never said %s", pattern)
		}
	}
}

// record is what the study holds in the end.
func (s *shop) record() *tracker.Record {
	s.Helper()
	db, err := store.OpenToRead(s.file, plan.Read)
	if err != nil {
		s.Fatal(err)
	}
	defer db.Close()
	rec, err := db.State()
	if err != nil {
		s.Fatal(err)
	}
	return rec
}
