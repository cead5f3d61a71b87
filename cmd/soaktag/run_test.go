package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soaktag/tracker/store"
)

// quiet is a session with its talk and data in buffers.
func quiet() (s *session, stdout, stderr *bytes.Buffer) {
	stdout, stderr = &bytes.Buffer{}, &bytes.Buffer{}
	now := func() time.Time { return time.Date(2026, 2, 21, 9, 0, 0, 0, time.UTC) }
	return &session{stdin: strings.NewReader(""), stdout: stdout, stderr: stderr, now: now}, stdout, stderr
}

// 2 goes before 1, 1 before 3 (CONTRACT section 5).
func TestExitStatus(t *testing.T) {
	failed, wrong := errors.New("disk full"), usageError("no such stage")
	for _, test := range []struct {
		name      string
		err       error
		attention bool
		want      int
	}{
		{"done", nil, false, 0},
		{"attention", nil, true, 3},
		{"failed", failed, false, 1},
		{"failed before attention", failed, true, 1},
		{"refused", wrong, false, 2},
		{"refused before attention", wrong, true, 2},
		{"refused before failed", errors.Join(failed, wrong), true, 2},
		{"refused, wrapped", fmt.Errorf("log: %w", wrong), false, 2},
		{"refused, with a hint", withHint(wrong, "try break"), false, 2},
		{"somebody else's file", fmt.Errorf("open: %w", store.ErrNotSoaktag), false, 2},
		{"a name that is taken", fmt.Errorf("begin: %w", fs.ErrExist), false, 2},
		{"damage", fmt.Errorf("open: %w", store.ErrDamaged), false, 1},
	} {
		s, _, _ := quiet()
		s.attention = test.attention
		if got := s.status(test.err); got != test.want {
			t.Errorf("%s: status %d, want %d", test.name, got, test.want)
		}
	}
}

func TestComplain(t *testing.T) {
	s, _, stderr := quiet()
	s.status(withHint(errors.Join(errors.New("one"), errors.New("two")), "type three"))
	if got, want := stderr.String(), "soaktag: error: one\nsoaktag: error: two\nsoaktag: hint: type three\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// A fault of the program ends in a sentence and status 1, not in a trace.
func TestPanic(t *testing.T) {
	var stderr bytes.Buffer
	broken := func() time.Time { panic("clock fell off the wall") }
	dir := t.TempDir()
	plan := filepath.Join(dir, "p.toml")
	if run([]string{"soaktag", "outline", plan}, strings.NewReader(""), &stderr, &stderr, broken) != 0 {
		t.Fatal(stderr.String())
	}
	stderr.Reset()
	got := run([]string{"soaktag", "begin", plan}, strings.NewReader(""), &stderr, &stderr, broken)
	if got != exitFailed || !strings.Contains(stderr.String(), "soaktag: error: a fault in soaktag itself stopped it: clock fell off the wall") {
		t.Errorf("status %d: %s", got, stderr.String())
	}
}

// An answer that cannot be written is a failure, whatever the command says.
func TestAnswerLost(t *testing.T) {
	r, w := io.Pipe()
	r.Close()
	var stderr bytes.Buffer
	got := run([]string{"soaktag", "--help"}, strings.NewReader(""), w, &stderr, time.Now)
	if got != exitFailed || strings.Count(stderr.String(), "soaktag: error: write the answer: ") != 1 {
		t.Errorf("status %d: %s", got, stderr.String())
	}
}

func TestJSON(t *testing.T) {
	s, stdout, _ := quiet()
	err := errors.Join(s.json(nil, "due/1", map[string]string{"a": "<b>"}), s.json(nil, "none/1", struct{}{}))
	if want := "{\"soaktag\":\"due/1\",\"a\":\"<b>\"}\n{\"soaktag\":\"none/1\"}\n"; err != nil || stdout.String() != want {
		t.Errorf("%q, %v; want %q", stdout.String(), err, want)
	}
	if s.json(nil, "x/1", []int{1}) == nil {
		t.Error("an array was taken")
	}
}

func TestStudyAbove(t *testing.T) {
	root := t.TempDir()
	deep := filepath.Join(root, "a", "b#c", "d")
	if err := os.MkdirAll(deep, 0o755); err != nil {
		t.Fatal(err)
	}
	touch := func(path string) {
		if err := os.WriteFile(path, nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := studyAbove(deep); err == nil && strings.HasPrefix(got, root) {
		t.Errorf("found %s", got)
	}
	want := filepath.Join(root, "a", "oars.soaktag")
	touch(want)
	if got, err := studyAbove(deep); err != nil || got != want {
		t.Errorf("studyAbove = %s, %v; want %s", got, err, want)
	}
	touch(filepath.Join(root, "a", "masts.soaktag"))
	if _, err := studyAbove(deep); !isRefusal(err) || !strings.Contains(err.Error(), "masts.soaktag, oars.soaktag") {
		t.Errorf("two studies: %v", err)
	}
}

// Nothing is overwritten, and a file that failed half-way is not there at all.
func TestWriteNew(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.txt")
	half := errors.New("printer on fire")
	if err := writeNew(path, writes("half", half)); !errors.Is(err, half) {
		t.Errorf("half-way: %v", err)
	}
	if left, _ := os.ReadDir(filepath.Dir(path)); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	if err := writeNew(path, writes("whole", nil)); err != nil {
		t.Error(err)
	}
	if err := writeNew(path, writes("again", nil)); !isRefusal(err) {
		t.Errorf("overwriting: %v", err)
	}
	if text, _ := os.ReadFile(path); string(text) != "whole" {
		t.Errorf("holds %q", text)
	}
}

// writes is a writer of an output file that ends with err.
func writes(text string, err error) func(io.Writer) error {
	return func(w io.Writer) error {
		_, failed := io.WriteString(w, text)
		return errors.Join(failed, err)
	}
}
