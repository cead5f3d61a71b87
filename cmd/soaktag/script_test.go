package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// clockVariable carries a script's clock into the program. It is read here, in
// the test binary, and nowhere in the program itself.
const clockVariable = "SCRIPT_CLOCK"

// scriptStart is what the clock shows when a script begins.
const scriptStart = "2026-02-21T09:00:00Z"

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"soaktag": func() {
		os.Exit(run(os.Args, os.Stdin, os.Stdout, os.Stderr, scriptNow))
	}})
}

func scriptNow() time.Time {
	t, err := time.Parse(time.RFC3339, os.Getenv(clockVariable))
	if err != nil {
		panic(fmt.Sprintf("%s: %v", clockVariable, err))
	}
	return t
}

// TestScript runs the command line stories of testdata/script, one subtest a
// file. A script moves its clock with "clock 2026-02-21T13:30:00Z" and
// "clock +168h", and checks an exit status with "status 3 soaktag due".
func TestScript(t *testing.T) {
	files, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scripts found: %v", err)
	}
	testscript.Run(t, testscript.Params{
		Files: files,
		Setup: func(e *testscript.Env) error {
			demo, err := filepath.Abs("demo")
			e.Setenv("DEMO", demo)
			e.Setenv(clockVariable, scriptStart)
			return err
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"clock":  moveClock,
			"status": wantStatus,
			"begins": firstLines,
			"damage": damageFile,
		},
		RequireUniqueNames: true,
	})
}

// moveClock sets the script's clock to an instant or moves it by a duration.
func moveClock(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: clock INSTANT|+DURATION")
	}
	now := args[0]
	if step, ok := strings.CutPrefix(now, "+"); ok {
		d, err := time.ParseDuration(step)
		ts.Check(err)
		was, err := time.Parse(time.RFC3339, ts.Getenv(clockVariable))
		ts.Check(err)
		now = was.Add(d).Format(time.RFC3339)
	}
	_, err := time.Parse(time.RFC3339, now)
	ts.Check(err)
	ts.Setenv(clockVariable, now)
}

// wantStatus runs a command and wants its exit status exactly.
func wantStatus(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND [ARGS...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		got = strings.TrimPrefix(err.Error(), "exit status ")
	}
	if got != args[0] {
		ts.Fatalf("exit status %s, want %s", got, args[0])
	}
}

// firstLines writes the first lines of one file to another: begins N FROM TO.
func firstLines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: begins N FROM TO")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	lines := strings.SplitAfter(ts.ReadFile(args[1]), "\n")
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), []byte(strings.Join(lines[:n], "")), 0o600))
}

// damageFile changes bytes of a file: damage FILE OLD NEW, of one length.
func damageFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 || len(args[1]) != len(args[2]) {
		ts.Fatalf("usage: damage FILE OLD NEW, of one length")
	}
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%s does not hold %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.ReplaceAll(text, args[1], args[2])), 0o600))
}
