package main

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"soaktag/labels/photo"
)

// escapes are what a terminal takes as commands.
var escapes = regexp.MustCompile("\x1b\\[[0-9;]*[A-Za-z]")

// screenshot draws what the lines of a terminal show, letters as large as a cell
// that is twice as high as wide.
func screenshot(text string) *image.Gray {
	const wide = 8
	lines := strings.Split(strings.TrimRight(escapes.ReplaceAllString(text, ""), "\n"), "\n")
	img := image.NewGray(image.Rect(0, 0, 60*wide, (len(lines)+2)*2*wide))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	fill := func(x, y int) {
		for i := range wide * wide {
			img.SetGray(x*wide+i%wide, y*wide+i/wide, color.Gray{})
		}
	}
	for y, line := range lines {
		for x, r := range []rune(line) {
			if strings.ContainsRune("▀█", r) {
				fill(x, 2*y)
			}
			if strings.ContainsRune("▄█", r) {
				fill(x, 2*y+1)
			}
		}
	}
	return img
}

// shown is what the clock shows at an instant.
func shown(t *testing.T, at time.Time, colour bool) string {
	t.Helper()
	var b bytes.Buffer
	face := clockFace{colour: colour}
	if err := face.show(&b, at); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestClockIsRead: a picture of the terminal tells the time that it showed, to
// the reader of photographs and to one that is not ours.
func TestClockIsRead(t *testing.T) {
	for _, colour := range []bool{true, false} {
		at := time.Date(2026, 3, 21, 10, 15, 30, 0, time.UTC)
		text := shown(t, at, colour)
		if strings.Contains(text, "\x1b") != colour || !strings.HasSuffix(text, "2026-03-21 10:15:30 UTC\n") {
			t.Errorf("colour %v: %q", colour, text)
		}
		img := screenshot(text)
		found := photo.Read(img, nil, photo.Options{})
		if len(found) != 1 {
			t.Fatalf("found %+v", found)
		}
		if got, ok := photo.ParseClock(found[0].Text); !ok || !got.Equal(at) {
			t.Errorf("read %q", found[0].Text)
		}
		if got := byZbar(t, img); got != photo.ClockText(at) {
			t.Errorf("zbar reads %q", got)
		}
	}
}

// byZbar reads a picture with zbar, or as expected where that is not installed.
func byZbar(t *testing.T, img image.Image) string {
	t.Helper()
	if _, err := exec.LookPath("zbarimg"); err != nil {
		if os.Getenv("SOAKTAG_CI") == "1" {
			t.Fatal("zbarimg is not installed")
		}
		t.Skip("zbarimg is not installed: the symbol is not judged by it")
	}
	name := filepath.Join(t.TempDir(), "clock.png")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, img); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("zbarimg", "-q", "--nodbus", "--raw", "-Sdisable", "-Sqrcode.enable", name).Output()
	if err != nil {
		t.Errorf("zbarimg: %v", err)
	}
	return strings.TrimSpace(string(out))
}

// TestClockTicks: each second is drawn over the last until it is stopped.
func TestClockTicks(t *testing.T) {
	at := time.Date(2026, 3, 21, 10, 15, 30, 999e6, time.UTC)
	stop := make(chan struct{})
	var b bytes.Buffer
	face, calls := clockFace{}, 0
	now := func() time.Time {
		if calls++; calls == 3 {
			close(stop)
		}
		return at.Add(time.Duration(calls-1) * time.Second)
	}
	if err := face.run(&b, now, stop); err != errInterrupted {
		t.Fatal(err)
	}
	parts := strings.Split(b.String(), "\x1b[18A")
	if len(parts) < 3 {
		t.Fatalf("%d seconds shown, each over 18 lines", len(parts))
	}
	for i, part := range parts {
		if want := at.Add(time.Duration(i) * time.Second).Format("15:04:05 UTC\n"); !strings.HasSuffix(part, want) || strings.Count(part, "\n") != 18 {
			t.Errorf("second %d: %q, want %q", i, part, want)
		}
	}
}
