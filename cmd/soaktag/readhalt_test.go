package main

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"time"
)

// halted runs read until stop is closed, or out closes it.
func (s shoot) halted(stop chan struct{}, out io.Writer, args ...string) (stderr string) {
	s.Helper()
	var said bytes.Buffer
	at, err := time.Parse(time.RFC3339, shootNow)
	if err != nil {
		s.Fatal(err)
	}
	args = append([]string{"soaktag"}, args...)
	status := runUntil(stop, args, strings.NewReader(""), out, &said, func() time.Time { return at })
	if status != exitInterrupted || strings.Contains(said.String(), "error") {
		s.Errorf("%q: status %d\n%s", args, status, said.String())
	}
	return said.String()
}

// TestReadInterruptedWhileReading: nothing is recorded, and that is said,
// whatever would have been done with the photographs.
func TestReadInterruptedWhileReading(t *testing.T) {
	s := newShoot(t)
	s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1"))
	s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), "HBR018H1"))
	codes := s.put("codes", []byte("HBR-017-J\n"))
	for _, args := range [][]string{
		{"read", s.folder, "--stage", "glue-up", "--study", s.study},
		{"read", s.folder, "--codes", codes},
		{"labels", "--proof", s.folder, "--study", s.study},
	} {
		stop := make(chan struct{})
		close(stop)
		var stdout bytes.Buffer
		stderr := s.halted(stop, &stdout, args...)
		s.want(stderr, "interrupted: nothing recorded; 0 of 2 photographs were read: type the same command again")
		if stdout.Len() > 0 {
			t.Errorf("%q printed %s", args, stdout.String())
		}
	}
	stdout, _ := s.run(exitDone, "verify")
	s.want(stdout, "good: 1 event,")
}

// TestReadInterruptedWhileRecording: what was recorded before the interruption
// is said, and the same command goes on from there.
func TestReadInterruptedWhileRecording(t *testing.T) {
	s := newShoot(t)
	s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1"))
	s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), "HBR00121"))
	s.put("c.jpg", snapshot(t, phone("2026:02:21 08:32:00"), "HBR002Z1"))
	args := []string{"read", s.folder, "--stage", "glue-up"}
	stop := make(chan struct{})
	stderr := s.halted(stop, &told{text: "recorded", heard: stop}, append(args, "--study", s.study)...)
	s.want(stderr, "interrupted: 2 labels recorded from 1 of 3 photographs, and nothing by halves; the same command again goes on from there")
	stdout, _ := s.run(exitDone, "verify")
	s.want(stdout, "good: 4 events")
	stdout, stderr = s.run(exitDone, args...)
	s.counts(stdout, map[string]int{"known ": 2, "recorded ": 2})
	s.want(stderr, "2 labels recorded from 3 photographs, 2 known before")
}
