package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
)

// A shoot is a study and a folder of photographs to read into it.
type shoot struct {
	*testing.T
	folder, study string
}

const shootNow = "2026-11-25T09:00:00Z"

func newShoot(t *testing.T) shoot {
	t.Helper()
	if raced { // the scripts read photographs under it too
		t.Skip("takes minutes under the race detector: go test ./cmd/soaktag")
	}
	dir := t.TempDir()
	s := shoot{t, filepath.Join(dir, "photos"), filepath.Join(dir, "s.soaktag")}
	if err := os.Mkdir(s.folder, 0o700); err != nil {
		t.Fatal(err)
	}
	if _, stderr, status := childRun([]string{"begin", "demo/oar-loft.toml", "--study", s.study}, "2026-02-20T09:00:00Z"); status != exitDone {
		t.Fatal(stderr)
	}
	return s
}

func (s shoot) put(name string, file []byte) string {
	s.Helper()
	path := filepath.Join(s.folder, name)
	if err := os.WriteFile(path, file, 0o600); err != nil {
		s.Fatal(err)
	}
	return path
}

// run wants an exit status and returns what was printed and said.
func (s shoot) run(want int, args ...string) (stdout, stderr string) {
	s.Helper()
	stdout, stderr, status := childRun(append(args, "--study", s.study), shootNow)
	if status != want {
		s.Fatalf("%q: status %d, want %d\n%s%s", args, status, want, stdout, stderr)
	}
	return stdout, stderr
}

func (s shoot) want(text string, parts ...string) {
	s.Helper()
	for _, part := range parts {
		if !strings.Contains(text, part) {
			s.Errorf("no %q in\n%s", part, text)
		}
	}
}

// counts are how often texts stand in what was said.
func (s shoot) counts(text string, want map[string]int) {
	s.Helper()
	for part, n := range want {
		if got := strings.Count(text, part); got != n {
			s.Errorf("%q stands there %d times, want %d:\n%s", part, got, n, text)
		}
	}
}

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

// TestReadCards: who works, which bath, and that what was asked stands, all in
// photographs and in the order of their time, whatever their names.
func TestReadCards(t *testing.T) {
	s := newShoot(t)
	s.put("9.jpg", snapshot(t, phone("2026:02:28 08:00:00"), ".WHOANNA", ".IMMERSION"))
	s.put("8.jpg", snapshot(t, phone("2026:02:28 08:01:00"), ".BATHB2"))
	s.put("7.jpg", snapshot(t, phone("2026:02:28 08:02:00"), ".YES"))
	stdout, stderr := s.run(exitDone, "read", s.folder)
	s.want(stdout, "9.jpg  Sat 2026-02-28 08:00 GMT  card", "8.jpg  Sat 2026-02-28 08:01 GMT  1 label", "immersion  Sat 2026-02-28 08:01 GMT")
	s.want(stderr, "asks", "accepted", "confirmed in a photograph")
	bath := strings.Count(stdout, "\nrecorded  HBR-")
	if bath < 2 {
		t.Errorf("a bath of %d specimens:\n%s", bath, stdout)
	}
	before, _ := s.run(exitDone, "verify")
	history, _ := s.run(exitDone, "export", filepath.Join(t.TempDir(), "out"))
	s.want(history, "1 photograph")
	s.run(exitDone, "read", s.folder)
	if after, _ := s.run(exitDone, "verify"); after != before {
		t.Errorf("the same again: %s, not %s", after, before)
	}
}

// smeared is a photograph of one label with slime over the right of it, so far
// that the label is recognised but no longer decoded.
func smeared(t *testing.T, text string) []byte {
	t.Helper()
	list := photo.NewList(labels.Deal("HBR", 48))
	for left := 115; left > 75; left -= 2 {
		img := tray(t, 190, text)
		for y := 80; y < 160; y++ {
			for x := left; x < 160; x++ {
				img.SetGray(x, y, color.Gray{Y: 60})
			}
		}
		var out bytes.Buffer
		if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 95}); err != nil {
			t.Fatal(err)
		}
		file := withExif(out.Bytes(), phone("2026:02:21 13:40:00"))
		opened, err := photo.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		if found := photo.Read(opened.Image, list, photo.Options{}); len(found) == 1 && found[0].How == photo.Matched {
			return file
		}
	}
	t.Fatal("no slime makes this label one that is only recognised")
	return nil
}

// TestReadProbable: a label that is only recognised is kept and asks, and with
// --yes it does not.
func TestReadProbable(t *testing.T) {
	file := smeared(t, "HBR017J1")
	for _, c := range []struct {
		yes  []string
		want int
	}{{nil, exitAttention}, {[]string{"--yes"}, exitDone}} {
		s := newShoot(t)
		path := s.put("slime.jpg", file)
		stdout, stderr := s.run(c.want, append([]string{"read", path, "--stage", "glue-up", "--show", filepath.Join(s.folder, "seen.png")}, c.yes...)...)
		s.want(stdout, "recorded  HBR-017-J/1  glue-up")
		if asks := strings.Contains(stderr, "(probable code)"); asks != (c.want == exitAttention) {
			t.Errorf("%q: %s", c.yes, stderr)
		}
		listed, _ := s.run(exitDone, "read", path, "--codes", s.put("codes", []byte(strings.Join(codeNames(labels.Deal("HBR", 48)), "\n"))), "--json")
		s.want(listed, `"code":"HBR-017-J"`, `"how":"matched"`)
		if c.want == exitAttention {
			s.run(exitDone, "accept", "--rule", "probable code", "--reason", "looked at the photograph")
			s.run(exitDone, "read", path)
		}
	}
}

// TestReadAsksWhen: at a terminal a photograph without a time is asked about,
// until there is an answer that is a time.
func TestReadAsksWhen(t *testing.T) {
	for _, c := range []struct{ typed, says string }{
		{"half past\n2026-02-21 13:40..13:50\n", "recorded  HBR-017-J/1  glue-up  Sat 2026-02-21 13:40 GMT to"},
		{"\n", "it has no time of its own"},
	} {
		s := newShoot(t)
		path := s.put("a.jpg", snapshot(t, camera{orientation: 1}, "HBR017J1"))
		talk, stdout, stderr := quiet()
		talk.stdin, talk.terminal = bufio.NewReader(strings.NewReader(c.typed)), true
		talk.now = func() time.Time { return time.Date(2026, 2, 22, 9, 0, 0, 0, time.UTC) }
		err := talk.dispatch([]string{"soaktag", "read", path, "--stage", "glue-up", "--study", s.study})
		s.want(fmt.Sprint(stdout, stderr, err), c.says, "a.jpg has no time in it: when was it taken?")
	}
}

// TestReadLarge: a photograph of 12 megapixels, held on its side.
func TestReadLarge(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 4000, 3000))
	for i := range img.Pix {
		img.Pix[i] = 150
	}
	part := tray(t, 320, "HBR017J1", "HBR018H2")
	for y := range part.Rect.Dy() {
		copy(img.Pix[img.PixOffset(2000, 1500+y):], part.Pix[y*part.Stride:][:part.Stride])
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, nil); err != nil {
		t.Fatal(err)
	}
	s := newShoot(t)
	s.put("large.jpg", withExif(out.Bytes(), wren("2026:02:21 13:40:00")))
	stdout, _ := s.run(exitDone, "read", s.folder, "--json", "--stage", "glue-up")
	var doc readDoc
	if err := json.Unmarshal([]byte(stdout), &doc); err != nil || len(doc.Photos) != 1 || len(doc.Photos[0].Found) != 2 {
		t.Fatalf("%v %s", err, stdout)
	}
	for _, f := range doc.Photos[0].Found {
		if x, y := f.Corners[0][0], f.Corners[0][1]; x > 3000-1500 || x < 3000-1820 || y < 2000 || y > 2640 {
			t.Errorf("%s is not where it is upright: %v", f.Text, f.Corners)
		}
	}
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
