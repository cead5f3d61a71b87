package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// unchanged wants a command to leave the log as it is.
func (s shoot) unchanged(want int, args ...string) (stdout, stderr string) {
	s.Helper()
	before, _ := s.run(exitDone, "verify")
	stdout, stderr = s.run(want, args...)
	if after, _ := s.run(exitDone, "verify"); after != before {
		s.Errorf("%q: %s, not %s", args, after, before)
	}
	return stdout, stderr
}

// TestReadCorrect: a tray read at the wrong stage is put right by one command,
// which is hinted, wants a reason and does it once.
func TestReadCorrect(t *testing.T) {
	s := newShoot(t)
	tray := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1", ".CUT"))
	s.run(exitDone, "read", tray)
	s.run(exitDone, "amend", "void", "last", "--reason", "other bench")
	plain := s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), "HBR006R1"))
	s.run(exitDone, "read", plain, "--stage", "cut")
	_, stderr := s.unchanged(exitDone, "read", plain, "--stage", "glue-up")
	s.want(stderr, "all labels of a photograph at once: soaktag read "+plain+" --stage glue-up --correct --reason")
	s.unchanged(exitRefused, "read", plain, "--stage", "glue-up", "--correct")
	s.unchanged(exitRefused, "read", plain, "--correct", "--reason", "slip")
	right := []string{"read", tray, plain, "--stage", "glue-up", "--correct", "--reason", "slip"}
	stdout, _ := s.run(exitDone, right...)
	s.counts(stdout, map[string]int{"now says  HBR": 2, "set aside HBR": 1})
	stdout, _ = s.unchanged(exitDone, right...)
	s.counts(stdout, map[string]int{"known     HBR": 2, "set aside HBR": 1})
}

// TestReadCorrectTime: --at is not taken for a photograph with a time of its
// own, which is said, and is where it is put right.
func TestReadCorrectTime(t *testing.T) {
	s := newShoot(t)
	tray := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1"))
	at := []string{"read", tray, "--stage", "glue-up", "--at", "2026-02-21 08:00"}
	stdout, stderr := s.run(exitDone, at...)
	s.counts(stdout, map[string]int{"glue-up  Sat 2026-02-21 08:30 GMT": 2})
	s.want(stderr, "--at not used for 1 photograph: a.jpg has its own time, Sat 2026-02-21 08:30 GMT",
		"soaktag read "+tray+` --at "2026-02-21 08:00" --correct --reason`)
	at = append(at, "--correct", "--reason", "by the wall clock")
	stdout, stderr = s.run(exitDone, at...)
	s.counts(stdout, map[string]int{"now says  HBR": 2, "glue-up  Sat 2026-02-21 08:00 GMT": 2})
	s.counts(stderr, map[string]int{"not used": 0})
	s.unchanged(exitDone, at...)
}

// TestReadAfterUndo: what UNDO took back is recorded again by one command, once,
// and the card among the photographs does not take that back again.
func TestReadAfterUndo(t *testing.T) {
	s := newShoot(t)
	tray := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1"))
	s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), ".UNDO"))
	s.run(exitDone, "read", s.folder, "--stage", "cut")
	_, stderr := s.unchanged(exitAttention, "read", tray, "--stage", "glue-up")
	s.want(stderr, "all that was read in it was set aside", "to record it again: soaktag read "+tray+" --stage glue-up --correct --reason")
	for _, stage := range []string{"cut", "glue-up"} {
		again := []string{"read", tray, "--stage", stage, "--correct", "--reason", "it was right"}
		_, stderr = s.run(exitDone, again...)
		s.counts(stderr, map[string]int{"recorded again, 2 labels": map[string]int{"cut": 1}[stage]})
		stdout, _ := s.unchanged(exitDone, again...)
		s.counts(stdout, map[string]int{"known     HBR": 2, "/1  " + stage: 2})
	}
	_, stderr = s.unchanged(exitDone, "read", s.folder)
	s.want(stderr, "UNDO took this back before; it was recorded again since, and stays")
}

// TestReadCorrectTwiceAtOnce: two copies of a study make the same of it.
func TestReadCorrectTwiceAtOnce(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", "HBR018H1"))
	s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), ".UNDO"))
	s.run(exitDone, "read", s.folder, "--stage", "cut")
	dir := filepath.Join(t.TempDir(), "out")
	s.run(exitDone, "export", dir)
	twin := shoot{t, s.folder, filepath.Join(t.TempDir(), "twin.soaktag")}
	twin.run(exitDone, "restore", dir)
	var logs [2]string
	for i, x := range []shoot{s, twin} {
		x.run(exitDone, "read", path, "--stage", "glue-up", "--correct", "--reason", "slip")
		out := filepath.Join(t.TempDir(), "out")
		x.run(exitDone, "export", out)
		logs[i] = string(mustRead(t, filepath.Join(out, "log.jsonl")))
	}
	if logs[0] != logs[1] || strings.Count(logs[0], `"slip"`) != 4 {
		t.Errorf("two runs differ:\n%s\n%s", logs[0], logs[1])
	}
}

// TestReadSeveralCards: where a photograph shows the cards of several stages,
// --stage decides.
func TestReadSeveralCards(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:42:00"), ".GLUEUP", ".LIFTOUT", "HBR017J1"))
	_, stderr := s.run(exitAttention, "read", path)
	s.want(stderr, "glue-up and lift-out: none is in force", "say which it was: soaktag read "+path+" --stage STAGE")
	stdout, stderr := s.run(exitDone, "read", path, "--stage", "glue-up")
	s.want(stdout, "now says  HBR-017-J/1  glue-up")
	s.want(stderr, "glue-up and lift-out: taken as glue-up, as --stage says")
	s.unchanged(exitDone, "read", path, "--stage", "glue-up")
}

// TestReadUnsetClock: a photograph by a clock that was never set does not go in
// without a word, until its time was put right, one way or the other.
func TestReadUnsetClock(t *testing.T) {
	for _, c := range []struct{ taken, says string }{
		{"2000:01:01 00:10:00", "the camera's clock says Sat 2000-01-01 00:10 GMT, long before this study: is it set?"},
		{"2025:12:01 08:00:00", "long before this study"},
		{"2026:01:20 08:00:00", ""},
		{"2099:01:01 00:10:00", "still to come: is it set?"},
	} {
		s := newShoot(t)
		path := s.put("a.jpg", snapshot(t, phone(c.taken), "HBR017J1"))
		if c.says == "" {
			_, stderr := s.run(exitDone, "read", path, "--stage", "glue-up")
			s.counts(stderr, map[string]int{"is it set?": 0})
			continue
		}
		for range 2 {
			_, stderr := s.run(exitAttention, "read", path, "--stage", "glue-up")
			s.want(stderr, c.says, `soaktag log --stage clock --device "Lark P2" --shown TIME --at TIME`, "soaktag read "+path+" --at TIME --correct")
		}
		s.run(exitDone, "read", path, "--at", "2026-02-21 08:30", "--correct", "--reason", "the clock was not set")
		_, stderr := s.unchanged(exitDone, "read", path)
		s.counts(stderr, map[string]int{"is it set?": 0})
	}
}

// TestReadUnsetThenCompared: to say once what a camera's clock shows puts all
// its photographs right.
func TestReadUnsetThenCompared(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2000:01:01 00:10:00"), "HBR017J1"))
	s.run(exitAttention, "read", path, "--stage", "glue-up")
	s.run(exitDone, "log", "--stage", "clock", "--device", "Lark P2", "--shown", "2000-01-01 00:40", "--at", "2026-02-21 09:00")
	stdout, stderr := s.unchanged(exitDone, "read", path)
	s.want(stdout, "a.jpg  Sat 2026-02-21 08:30 GMT")
	s.counts(stderr, map[string]int{"is it set?": 0})
}

// TestReadUnsetOnceACamera: many photographs of one camera are one warning.
func TestReadUnsetOnceACamera(t *testing.T) {
	s := newShoot(t)
	a := s.put("a.jpg", snapshot(t, phone("2000:01:01 00:10:00"), "HBR017J1"))
	s.put("b.jpg", snapshot(t, phone("2000:01:01 00:11:00"), "HBR018H1"))
	s.put("c.jpg", snapshot(t, wren("2000:01:01 00:12:00"), "HBR006R1"))
	_, stderr := s.run(exitAttention, "read", s.folder, "--stage", "glue-up", "--at", "2026-02-21 08:30")
	s.counts(stderr, map[string]int{"is it set?": 2, a + " and 1 more: the camera's clock says": 1})
	s.want(stderr, "--at not used for 3 photographs: a.jpg has its own time, Sat 2000-01-01 00:10 GMT; b.jpg has")
	_, stderr = s.run(exitDone, "read", s.folder, "--yes")
	s.counts(stderr, map[string]int{"is it set?": 0})
}

// TestReadCorrectTimeLeavesStages: to put the time right changes no stage, not
// even that of an entry which is at another than the card beside it says.
func TestReadCorrectTimeLeavesStages(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), ".CUT", "HBR017J1", "HBR018H1"))
	s.run(exitDone, "read", path)
	s.run(exitDone, "amend", "correct", "last", "stage=glue-up", "--reason", "was at the press")
	right := []string{"read", path, "--at", "2026-02-21 08:00", "--correct", "--reason", "the clock was off"}
	stdout, _ := s.run(exitDone, right...)
	s.counts(stdout, map[string]int{"/1  cut  Sat 2026-02-21 08:00 GMT": 1, "/1  glue-up  Sat 2026-02-21 08:00 GMT": 1})
	s.unchanged(exitDone, right...)
}

// TestReadCorrectAsksAnew: a label that was compared stays compared, but what was
// accepted of the wrong stage is asked again of the right one.
func TestReadCorrectAsksAnew(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", smeared(t, "HBR017J1"))
	s.run(exitAttention, "read", path, "--stage", "cut")
	s.run(exitDone, "accept", "--rule", "probable code", "--reason", "looked at the label")
	_, stderr := s.run(exitDone, "read", path, "--stage", "glue-up", "--correct", "--reason", "slip")
	s.counts(stderr, map[string]int{"asks": 0})
	path = s.put("b.jpg", snapshot(t, phone("2026:02:28 08:30:00"), "HBR006R1"))
	s.run(exitAttention, "read", path, "--stage", "immersion")
	s.run(exitDone, "accept", "--rule", "out of order", "--reason", "never written down")
	_, stderr = s.run(exitAttention, "read", path, "--stage", "lift-out", "--correct", "--reason", "slip")
	s.want(stderr, "asks: HBR-006-R", "(out of order)")
}
