package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
)

// TestInterruptedScan interrupts a scan that waits for its next line: it says
// what was recorded and ends with status 130.
func TestInterruptedScan(t *testing.T) {
	b := newBench(t)
	in, typed := io.Pipe()
	defer typed.Close()
	out := &told{text: "recorded", heard: make(chan struct{})}
	stop, done := make(chan struct{}), make(chan int, 1)
	var stderr bytes.Buffer
	args := []string{"soaktag", "scan", "--stage", "glue-up", "--study", b.study}
	go func() { done <- runUntil(stop, args, in, out, &stderr, func() time.Time { return b.at }) }()
	if _, err := io.WriteString(typed, labels.New("HBR", 3).String()+"\n"); err != nil {
		t.Fatal(err)
	}
	<-out.heard
	close(stop)
	if status := <-done; status != exitInterrupted || !strings.Contains(stderr.String(), "1 scan recorded") ||
		strings.Contains(stderr.String(), "error") {
		t.Errorf("status %d, stderr %q", status, stderr.String())
	}
}

// A told writer tells when it has heard a text.
type told struct {
	text  string
	heard chan struct{}
}

func (w *told) Write(p []byte) (int, error) {
	if w.text != "" && strings.Contains(string(p), w.text) {
		w.text = ""
		close(w.heard)
	}
	return len(p), nil
}

// TestInterruptedMaking: whatever is half made is cleared away, and what was made when
// the interruption came stays made.
func TestInterruptedMaking(t *testing.T) {
	b := newBench(t)
	stop := make(chan struct{})
	s := &session{stop: stop}
	path := filepath.Join(t.TempDir(), "copy.soaktag")
	part := fmt.Sprintf("%s.part%d", path, os.Getpid())
	err := s.making(path, func() error {
		if err := os.WriteFile(part, nil, 0o600); err != nil {
			return err
		}
		close(stop)
		for {
			if _, err := os.Stat(part); err != nil {
				return err
			}
			time.Sleep(time.Millisecond)
		}
	})
	if !errors.Is(err, errInterrupted) {
		t.Errorf("interrupted half way: %v", err)
	}
	if err := s.making(path, func() error { return nil }); err != nil {
		t.Errorf("interrupted when all was done: %v", err)
	}
	var out, errs bytes.Buffer
	args := []string{"soaktag", "backup", path, "--study", b.study}
	if status := runUntil(make(chan struct{}), args, strings.NewReader(""), &out, &errs, func() time.Time { return b.at }); status != exitDone {
		t.Errorf("backup: status %d: %s", status, errs.String())
	}
	if left, _ := filepath.Glob(path + "*"); len(left) != 1 {
		t.Errorf("left are %v", left)
	}
}
