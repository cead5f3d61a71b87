package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
)

// TestStudyMoved moves the study away after a command has opened it: every
// recording command says that nothing was recorded, and nothing else.
func TestStudyMoved(t *testing.T) {
	b := newBench(t)
	code := labels.New("HBR", 3).String()
	if status, _, stderr := b.run(code+"\n", "scan"); status != exitAttention {
		t.Fatalf("scan: status %d: %s", status, stderr)
	}
	for _, args := range [][]string{
		{"accept", "--all", "--reason", "told"},
		{"scan", "--stage", "glue-up"},
		{"log", code, "--stage", "glue-up"},
	} {
		status, stdout, stderr := b.runMoved(code+"\n", args...)
		if status != exitFailed || stdout != "" || !strings.Contains(stderr, "NOT recorded: "+b.study+" was moved, deleted or replaced") ||
			strings.Contains(stderr, "accepted") {
			t.Errorf("%q: status %d, stdout %q, stderr %q", args, status, stdout, stderr)
		}
	}
	if status, stdout, _ := b.run("", "accept", "--all", "--reason", "told"); status != exitDone || !strings.HasPrefix(stdout, "accepted  ") {
		t.Errorf("put back: status %d, stdout %q", status, stdout)
	}
}

// runMoved runs a command and moves the study away as soon as it has opened
// it: it looks at the clock only then. Afterwards the study is put back.
func (b *bench) runMoved(stdin string, args ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	aside := filepath.Join(b.t.TempDir(), "aside")
	now := func() time.Time {
		_ = os.Rename(b.study, aside) // only the first time
		return b.at
	}
	status = run(append(append([]string{"soaktag"}, args...), "--study", b.study), strings.NewReader(stdin), &out, &errs, now)
	if err := os.Rename(aside, b.study); err != nil {
		b.t.Fatal(err)
	}
	return status, out.String(), errs.String()
}
