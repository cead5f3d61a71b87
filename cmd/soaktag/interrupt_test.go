package main

import (
	"bytes"
	"io"
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
