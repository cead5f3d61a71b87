package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/tracker"
)

// encoded are a JPEG and a PNG of nothing much, under names that say nothing.
func encoded(t *testing.T) (dir string, photos map[string][]byte) {
	t.Helper()
	picture := image.NewGray(image.Rect(0, 0, 64, 48))
	var jpg, portable bytes.Buffer
	if err := jpeg.Encode(&jpg, picture, nil); err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(&portable, picture); err != nil {
		t.Fatal(err)
	}
	dir = t.TempDir()
	photos = map[string][]byte{"jpg": jpg.Bytes(), "png": portable.Bytes()}
	for kind, photo := range photos {
		if err := os.WriteFile(filepath.Join(dir, "face of "+kind), photo, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir, photos
}

// TestPhotosOfTheDemo keeps photographs in the invented study; a correction of
// one keeps its picture, and a byte of one changed in a copy is found.
func TestPhotosOfTheDemo(t *testing.T) {
	r := replay(t, demoStudy{})
	dir, photos := encoded(t)
	mustRun := func(want int, args ...string) string {
		t.Helper()
		stdout, stderr, status := childRun(append(args, "--study", r.study), storyEnd)
		if status != want {
			t.Fatalf("%q: status %d, want %d\n%s%s", args, status, want, stdout, stderr)
		}
		return stdout
	}
	for kind := range photos {
		mustRun(exitDone, "faces", "EPX-S3/1", "--photo", filepath.Join(dir, "face of "+kind))
	}
	mustRun(exitDone, "amend", "correct", "last", "half=2", "--reason", "it was the other half")
	out := filepath.Join(t.TempDir(), "out")
	if said := mustRun(exitDone, "export", out); !strings.Contains(said, "2 photographs") {
		t.Errorf("export said %s", said)
	}
	for kind, photo := range photos {
		got, err := os.ReadFile(filepath.Join(out, "photos", tracker.PhotoSum(photo)+"."+kind))
		if err != nil || !bytes.Equal(got, photo) {
			t.Errorf("%s: %d bytes, %v", kind, len(got), err)
		}
	}
	copied := filepath.Join(t.TempDir(), "copy.soaktag")
	mustRun(exitDone, "backup", copied)
	changeOneByte(t, copied, photos["png"])
	stdout, stderr, status := childRun([]string{"verify", copied, "--json"}, storyEnd)
	var doc verifyDoc
	err := json.Unmarshal([]byte(stdout), &doc)
	if want := "the bytes of its photograph " + tracker.PhotoSum(photos["png"]) + " were changed"; err != nil || status != exitFailed || doc.OK ||
		len(doc.Problems) != 1 || !strings.Contains(doc.Problems[0], want) {
		t.Errorf("status %d, %v: %s%s", status, err, stdout, stderr)
	}
	if _, stderr, status := childRun([]string{"restore", copied, "--study", filepath.Join(t.TempDir(), "x.soaktag")}, storyEnd); status != exitFailed {
		t.Errorf("a damaged photograph was restored: status %d\n%s", status, stderr)
	}
}

// changeOneByte changes the last byte but three of a photograph in a file.
func changeOneByte(t *testing.T, path string, photo []byte) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(text, photo)
	if at < 0 {
		t.Fatal("the photograph does not lie in the file in one piece")
	}
	text[at+len(photo)-3] ^= 1
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestReadPhotoTooLarge: the limit holds before anything is recorded.
func TestReadPhotoTooLarge(t *testing.T) {
	path := filepath.Join(t.TempDir(), "huge.jpg")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.WriteString("\xff\xd8\xff"); err != nil {
		t.Fatal(err)
	}
	if err := f.Truncate(tracker.MaxPhoto + 1); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := readPhoto(path); err == nil || !strings.HasSuffix(err.Error(), "huge.jpg is over 64 MB; save it smaller") {
		t.Errorf("%v", err)
	}
	if err := os.Truncate(path, tracker.MaxPhoto); err != nil {
		t.Fatal(err)
	}
	if _, err := readPhoto(path); err != nil {
		t.Error(err)
	}
}
