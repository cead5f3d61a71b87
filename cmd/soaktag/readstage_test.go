package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// counts are how often texts stand in what was said.
func (s shoot) counts(text string, want map[string]int) {
	s.Helper()
	for part, n := range want {
		if got := strings.Count(text, part); got != n {
			s.Errorf("%q stands there %d times, want %d:\n%s", part, got, n, text)
		}
	}
}

// TestReadAsksOnce: both halves, and two photographs of one tray, ask the same
// for the same reason in one line; to accept means both.
func TestReadAsksOnce(t *testing.T) {
	s := newShoot(t)
	a := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR017J2"))
	b := s.put("b.jpg", snapshot(t, phone("2026:02:21 08:35:00"), "HBR017J1", "HBR018H1"))
	_, stderr := s.run(exitAttention, "read", s.folder)
	s.counts(stderr, map[string]int{"asks: HBR-017-J": 1, "asks: HBR-018-H": 1})
	s.want(stderr, "4 labels recorded", "2 marks ask: say which stage: soaktag read "+a+" "+b+" --stage STAGE")
	_, stderr = s.run(exitDone, "read", s.folder, "--stage", "glue-up", "--yes", "--reason", "as planned")
	s.want(stderr, "a.jpg: 2 entries of this photograph now say glue-up", "b.jpg: 2 entries", "4 put right")
	s.run(exitDone, "status", "--as-of", "2026-02-21 09:00")
}

// TestReadUndoesWhatItGave: a stage that was given and taken back leaves nothing
// that counts, and the same again leaves that so.
func TestReadUndoesWhatItGave(t *testing.T) {
	s := newShoot(t)
	tray := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1"))
	s.run(exitAttention, "read", tray)
	s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), ".UNDO"))
	_, stderr := s.run(exitDone, "read", s.folder, "--stage", "glue-up")
	s.counts(stderr, map[string]int{"taken back: ": 2, "now say glue-up": 1})
	before, _ := s.run(exitDone, "verify")
	stdout, _ := s.run(exitDone, "read", s.folder, "--stage", "glue-up")
	s.counts(stdout, map[string]int{"set aside": 2, "now says": 0, "recorded": 0})
	if after, _ := s.run(exitDone, "verify"); after != before {
		t.Errorf("the same again: %s, not %s", after, before)
	}
}

// TestReadBathThenUndo: read again, UNDO still means the bath before it and not
// the tray before that; the bath gets its stage as labels do.
func TestReadBathThenUndo(t *testing.T) {
	s := newShoot(t)
	s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1"))
	bath := s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), ".BATHB2"))
	s.put("c.jpg", snapshot(t, phone("2026:02:21 08:32:00"), ".UNDO"))
	s.run(exitDone, "read", s.folder, "--stage", "glue-up")
	before, _ := s.run(exitDone, "verify")
	stdout, stderr := s.run(exitDone, "read", s.folder, "--stage", "glue-up")
	s.counts(stdout+stderr, map[string]int{"known     HBR-017-J/1": 1, "set aside HBR": 4, "taken back": 0})
	if after, _ := s.run(exitDone, "verify"); after != before {
		t.Errorf("the same again: %s, not %s", after, before)
	}
	other := newShoot(t)
	other.run(exitAttention, "read", bath)
	stdout, _ = other.run(exitDone, "read", bath, "--stage", "glue-up")
	other.counts(stdout, map[string]int{"now says  HBR": 4})
}

// TestReadStageTwiceAtOnce: two copies of a study make the same corrections, so
// that two runs at once make them once.
func TestReadStageTwiceAtOnce(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1"))
	s.run(exitAttention, "read", path)
	dir := filepath.Join(t.TempDir(), "out")
	s.run(exitDone, "export", dir)
	twin := shoot{t, s.folder, filepath.Join(t.TempDir(), "twin.soaktag")}
	twin.run(exitDone, "restore", dir)
	var logs [2]string
	for i, x := range []shoot{s, twin} {
		x.run(exitDone, "read", path, "--stage", "glue-up")
		out := filepath.Join(t.TempDir(), "out")
		x.run(exitDone, "export", out)
		logs[i] = string(mustRead(t, filepath.Join(out, "log.jsonl")))
	}
	if logs[0] != logs[1] || strings.Count(logs[0], "photo-") < 5 {
		t.Errorf("two runs differ:\n%s\n%s", logs[0], logs[1])
	}
}

// TestReadStageKeepsWhatWasAccepted: a label that somebody compared with its
// photograph stays compared when it gets its stage.
func TestReadStageKeepsWhatWasAccepted(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", smeared(t, "HBR017J1"))
	s.run(exitAttention, "read", path)
	s.run(exitDone, "accept", "--rule", "probable code", "--reason", "looked at the label")
	_, stderr := s.run(exitDone, "read", path, "--stage", "glue-up")
	s.want(stderr, "1 entry of this photograph now says glue-up")
	s.counts(stderr, map[string]int{"asks": 0})
	stdout, _ := s.run(exitDone, "history", "HBR-017-J")
	s.want(stdout, "accepted: looked at the label", "next: clamp removal")
}

// TestReadTwins: one label in two places is recorded once and said once, also
// where nothing is recorded; what was decoded goes before what was recognised.
func TestReadTwins(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1", "HBR017J1", "HBR017J1"))
	stdout, stderr := s.run(exitAttention, "read", path, "--stage", "glue-up")
	s.counts(stdout, map[string]int{"recorded  HBR-017-J/1": 1, "recorded  HBR-018-H/1": 1})
	s.counts(stderr, map[string]int{"HBR-017-J/1 stands in 3 places: ": 1, "--show FILE.png outlines them": 1})
	codes := s.put("codes", []byte("HBR-017-J\nHBR-018-H\n"))
	_, stderr = s.run(exitAttention, "read", path, "--codes", codes, "--json")
	s.counts(stderr, map[string]int{"HBR-017-J/1 stands in 3 places: ": 1})
}

// TestReadSaysWhatHasNoStage: at the end of a run the photographs whose entries
// have no stage are named, unless they were taken back or something else asks.
func TestReadSaysWhatHasNoStage(t *testing.T) {
	s := newShoot(t)
	a := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1"))
	b := s.put("b.jpg", snapshot(t, phone("2026:02:28 08:31:00"), "HBR006R1", ".IMMERSION"))
	_, stderr := s.run(exitAttention, "read", a, b)
	s.want(stderr, "3 marks ask: what has no stage: soaktag read "+a+" --stage STAGE; else put it right with soaktag amend, or soaktag accept")
	s.put("c.jpg", snapshot(t, phone("2026:02:28 08:32:00"), ".YES"))
	_, stderr = s.run(exitAttention, "read", s.folder)
	s.want(stderr, "1 mark asks: say which stage: soaktag read "+a+" --stage STAGE")
	_, stderr = s.run(exitDone, "read", a, "--stage", "glue-up")
	s.counts(stderr, map[string]int{"asks": 0, "no stage": 0})
}

// TestReadBathInTwoCopies: a copy of a bath's photograph means whom the first
// meant, not whom the bath holds after that.
func TestReadBathInTwoCopies(t *testing.T) {
	s := newShoot(t)
	file := snapshot(t, phone("2026:02:21 08:31:00"), ".BATHB2")
	s.put("a.jpg", file)
	s.put("b.jpg", file)
	s.run(exitDone, "log", "6", "15", "--stage", "cut", "--at", "2026-02-21 08:00")
	stdout, stderr := s.run(exitDone, "read", s.folder, "--stage", "cut")
	s.counts(stdout, map[string]int{"recorded  HBR": 2, "known     HBR": 2})
	s.want(stderr, "2 labels recorded from 2 photographs", "HBR-006-R of bath B2 is not meant")
}
