package main

import (
	"bytes"
	"flag"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
	"time"

	"soaktag/labels/photo"
)

var writePhotos = flag.Bool("write-photos", false, "draw the pictures of testdata/photos anew")

// phone is a camera that gives its offset, wren one that does not, is held
// upright and has a serial number.
func phone(taken string) camera {
	return camera{maker: "Lark", model: "Lark P2", offset: "+00:00", part: "25", orientation: 1, taken: taken}
}

func wren(taken string) camera {
	return camera{maker: "Wren", model: "Compact 3", serial: "1234", orientation: 6, taken: taken}
}

// stored are the pictures that the scripts use.
func stored(t testing.TB) map[string][]byte {
	var sheet bytes.Buffer
	if err := jpeg.Encode(&sheet, tray(t, 320, "HBR00121", "HBR002Z1", "HBR006R1", "HBR017J1"), nil); err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{
		"sheet.jpg":      sheet.Bytes(),
		"tray.jpg":       snapshot(t, phone("2026:02:21 08:30:00"), "HBR00121", "HBR002Z1", "HBR006R1", "HBR017J1"),
		"bare.jpg":       snapshot(t, camera{orientation: 1}, "HBR017J1"),
		"card.jpg":       snapshot(t, phone("2026:02:21 08:29:00"), ".GLUEUP"),
		"undo.jpg":       snapshot(t, phone("2026:02:21 08:31:00"), ".UNDO"),
		"clock.jpg":      snapshot(t, wren("2026:02:21 09:12:00"), photo.ClockText(scriptTime(t, "2026-02-21T08:00:00Z"))),
		"old.jpg":        snapshot(t, wren("2026:02:21 09:52:00"), "HBR017J1"),
		"wood.jpg":       snapshot(t, phone("2026:02:21 08:40:00")),
		"foreign.jpg":    snapshot(t, phone("2026:02:21 08:41:00"), "HTTPS://EXAMPLE.ORG/1", "HBR017J2"),
		"web.jpg":        snapshot(t, phone("2026:02:21 08:43:00"), "HTTPS://EXAMPLE.ORG/2"),
		"late.jpg":       snapshot(t, phone("2026:02:21 09:00:00"), "HBR006R2"),
		"twice-card.jpg": snapshot(t, phone("2026:02:21 08:42:00"), ".GLUEUP", ".LIFTOUT", "HBR017J1"),
	}
}

// TestStoredPhotos: the pictures of the scripts are there. They are not compared
// with what is drawn here, which differs by a bit between processors.
func TestStoredPhotos(t *testing.T) {
	for name, drawn := range stored(t) {
		path := filepath.Join("testdata", "photos", name)
		if *writePhotos {
			if err := os.WriteFile(path, drawn, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := os.Stat(path); err != nil {
			t.Errorf("%v: go test ./cmd/soaktag -run StoredPhotos -write-photos", err)
		}
	}
}

func scriptTime(t testing.TB, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}
