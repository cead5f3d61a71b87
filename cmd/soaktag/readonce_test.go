package main

import (
	"os"
	"path/filepath"
	"testing"
)

// TestUndoActsOnce: a card that took something back takes nothing more back,
// whatever lies before it when it is read again.
func TestUndoActsOnce(t *testing.T) {
	s := newShoot(t)
	s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1"))
	b := s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), "HBR018H1"))
	card := snapshot(t, phone("2026:02:21 08:33:00"), ".UNDO")
	s.put("u.jpg", card)
	s.put("u (1).jpg", card)
	read := []string{"read", s.folder, "--stage", "glue-up"}
	stdout, stderr := s.run(exitDone, read...)
	s.counts(stderr, map[string]int{"taken back: ": 1, "taken back: HBR-018-H/1": 1})
	s.counts(stdout, map[string]int{"recorded  HBR": 2})
	s.unchanged(exitDone, read...)
	if err := os.Remove(b); err != nil {
		t.Fatal(err)
	}
	_, stderr = s.unchanged(exitDone, read...)
	s.want(stderr, "UNDO was read before, and takes nothing more back")
	s.put("c.jpg", snapshot(t, phone("2026:02:21 08:32:00"), "HBR006R1"))
	stdout, stderr = s.run(exitDone, read...)
	s.want(stdout, "recorded  HBR-006-R/1  glue-up")
	s.counts(stderr, map[string]int{"taken back": 0})
}

// TestYesActsOnce: nor does YES accept what others ask when it is read again.
func TestYesActsOnce(t *testing.T) {
	s := newShoot(t)
	s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", ".IMMERSION"))
	b := s.put("b.jpg", snapshot(t, phone("2026:02:21 08:31:00"), "HBR00121"))
	s.put("y.jpg", snapshot(t, phone("2026:02:21 08:32:00"), ".YES"))
	_, stderr := s.run(exitAttention, "read", s.folder)
	s.want(stderr, "accepted 1 mark")
	if err := os.Remove(b); err != nil {
		t.Fatal(err)
	}
	_, stderr = s.unchanged(exitAttention, "read", s.folder)
	s.want(stderr, "YES was read before, and accepts nothing more")
}

// TestAcceptedWithoutAStage: who said why an entry stands without a stage is not
// overruled.
func TestAcceptedWithoutAStage(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1"))
	s.run(exitAttention, "read", path)
	s.run(exitDone, "accept", "HBR-017-J", "--rule", "no stage", "--reason", "only looked at it")
	_, stderr := s.unchanged(exitDone, "read", path, "--stage", "glue-up")
	s.want(stderr, "read in this photograph before, as no stage, and left so")
}

// TestBathTagOfNobody: a tag that stood for nobody is said each time.
func TestBathTagOfNobody(t *testing.T) {
	s := newShoot(t)
	path := s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1", ".BATHB2"))
	s.run(exitDone, "log", "bath B2", "--stage", "withdrawn", "--at", "2026-02-21 08:00", "--yes", "--reason", "flood")
	s.run(exitAttention, "read", path, "--stage", "glue-up")
	_, stderr := s.unchanged(exitAttention, "read", path, "--stage", "glue-up")
	s.want(stderr, "the tag of bath B2 stood for nobody when this was first read", `soaktag log "bath B2" --stage STAGE --at TIME`)
}

// TestReadThroughALink: a link to a folder is that folder.
func TestReadThroughALink(t *testing.T) {
	s := newShoot(t)
	s.put("a.jpg", snapshot(t, phone("2026:02:21 08:30:00"), "HBR017J1"))
	link := filepath.Join(t.TempDir(), "phone")
	if err := os.Symlink(s.folder, link); err != nil {
		t.Skip(err) // some systems want a right for it
	}
	stdout, _ := s.run(exitDone, "read", link, "--stage", "glue-up")
	s.want(stdout, "recorded  HBR-017-J/1  glue-up")
}

func TestShellWord(t *testing.T) {
	for word, want := range map[string]string{
		"IMG_0001.jpg":    "IMG_0001.jpg",
		"a b.jpg":         `"a b.jpg"`,
		"Größe.jpg":       "Größe.jpg",
		"-b.jpg":          "./-b.jpg",
		"a$(touch p).jpg": `'a$(touch p).jpg'`,
		"it's {1}!.jpg":   `'it'\''s {1}!.jpg'`,
		"":                "''",
	} {
		if got := shellWord(word); got != want {
			t.Errorf("%q: %s, not %s", word, got, want)
		}
	}
}
