package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soaktag/labels/qr"
)

// TestOpenKinds opens every kind of file that cameras and programs save, at the
// size that is known of it.
func TestOpenKinds(t *testing.T) {
	for name, want := range map[string]struct {
		format string
		size   image.Point
	}{
		"video-001.progressive.jpeg":  {"jpeg", image.Pt(150, 103)},
		"video-001.cmyk.jpeg":         {"jpeg", image.Pt(150, 103)},
		"video-005.gray.jpeg":         {"jpeg", image.Pt(150, 103)},
		"blue-purple-pink.lossy.webp": {"webp", image.Pt(150, 100)},
	} {
		file, err := os.ReadFile(filepath.Join("testdata", "kinds", name))
		if err != nil {
			t.Fatal(err)
		}
		p, err := Open(file)
		if err != nil || p.Format != want.format || p.Bounds().Size() != want.size || p.Orientation != 1 {
			t.Errorf("%s: %v, %s, orientation %d: %v", name, p.Image != nil, p.Format, p.Orientation, err)
		}
		for cut := range 20 {
			if _, err := Open(file[:len(file)*cut/21]); err == nil {
				t.Errorf("%s: cut off, and nothing is said", name)
			}
		}
	}
}

// Symbols are read in pictures of every colour model that PNG has.
func TestOpenColours(t *testing.T) {
	s, err := qr.Encode("HBR017J1")
	if err != nil {
		t.Fatal(err)
	}
	grey := s.Image(6)
	models := []interface {
		image.Image
		Set(x, y int, c color.Color)
	}{image.NewGray16(grey.Rect), image.NewNRGBA64(grey.Rect), image.NewRGBA(grey.Rect), image.NewPaletted(grey.Rect, color.Palette{color.White, color.Black})}
	for _, model := range models {
		for y := range grey.Rect.Dy() {
			for x := range grey.Rect.Dx() {
				model.Set(x, y, grey.At(x, y))
			}
		}
		var out bytes.Buffer
		if err := png.Encode(&out, model); err != nil {
			t.Fatal(err)
		}
		p, err := Open(out.Bytes())
		if err != nil {
			t.Fatalf("%T: %v", model, err)
		}
		if found := Read(p.Image, nil, Options{}); len(found) != 1 || found[0].Text != "HBR017J1" {
			t.Errorf("%T: %+v", model, found)
		}
	}
}

// pngHead is a PNG that claims to be so large and holds nothing.
func pngHead(width, height uint32, depth, kind byte) []byte {
	body := append(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32([]byte("IHDR"), width), height), depth, kind, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
}

// jpegClaiming is a JPEG whose frame says another size (ITU-T T.81, B.2.2).
func jpegClaiming(t testing.TB, width, height uint16) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, image.NewGray(image.Rect(0, 0, 8, 8)), nil); err != nil {
		t.Fatal(err)
	}
	file := out.Bytes()
	at := bytes.Index(file, []byte{0xFF, 0xC0}) + 5
	binary.BigEndian.PutUint16(file[at:], height)
	binary.BigEndian.PutUint16(file[at+2:], width)
	return file
}

func TestOpenRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		file []byte
		says string
	}{
		"zero bytes":      {nil, "empty (0 bytes)"},
		"text":            {[]byte("a list of codes\n"), "neither JPEG, PNG nor WebP"},
		"HEIC":            {[]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic"), "set the phone's camera to save JPEG"},
		"AVIF":            {[]byte("\x00\x00\x00\x18ftypavif\x00\x00\x00\x00"), "set the phone's camera to save JPEG"},
		"GIF":             {[]byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), "neither JPEG, PNG nor WebP"},
		"head only":       {[]byte("\xff\xd8\xff\xe0"), "cut off"},
		"huge JPEG":       {jpegClaiming(t, 60000, 60000), "too large: 60000 x 60000 pixels"},
		"huge PNG":        {pngHead(60000, 60000, 8, 2), "too large: 60000 x 60000 pixels"},
		"large deep PNG":  {pngHead(10000, 7000, 16, 6), "too large"},
		"empty PNG":       {pngHead(0, 5, 8, 2), "cannot be read"},
		"hollow PNG":      {pngHead(100, 100, 8, 2), "cut off"},
		"more than there": {jpegClaiming(t, 640, 480), "cannot be read"},
	} {
		_, err := Open(c.file)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Upright is checked against what Exif 2.32 says of tag 0x0112: where the first
// row and the first column of the file are in the upright picture.
func TestUpright(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 3, 2))
	for held, want := range map[int]struct{ origin, right Point }{ // of the file's first pixel, and its neighbour in the row
		1: {Point{0.5, 0.5}, Point{1.5, 0.5}},
		2: {Point{2.5, 0.5}, Point{1.5, 0.5}},
		3: {Point{2.5, 1.5}, Point{1.5, 1.5}},
		4: {Point{0.5, 1.5}, Point{1.5, 1.5}},
		5: {Point{0.5, 0.5}, Point{0.5, 1.5}},
		6: {Point{1.5, 0.5}, Point{1.5, 1.5}},
		7: {Point{1.5, 2.5}, Point{1.5, 1.5}},
		8: {Point{0.5, 2.5}, Point{0.5, 1.5}},
	} {
		p := Picture{Image: img, Exif: Exif{Orientation: held}}
		if a, b := p.Upright(Point{0.5, 0.5}), p.Upright(Point{1.5, 0.5}); a != want.origin || b != want.right {
			t.Errorf("%d: %v, %v", held, a, b)
		}
	}
}

func TestPrints(t *testing.T) {
	s, err := qr.Encode("HBR017J1")
	if err != nil {
		t.Fatal(err)
	}
	img := s.Image(5)
	for i, v := range img.Pix {
		img.Pix[i] = 40 + v/255*160 // ink 40, paper 200
	}
	found := Read(img, nil, Options{})
	if len(found) != 1 {
		t.Fatalf("%+v", found)
	}
	if p := Prints(img, found)[0]; p.Contrast < 0.79 || p.Contrast > 0.81 || p.Weakest < 0.79 {
		t.Errorf("ink of 40 on paper of 200: %+v", p)
	}
	for y := range 40 { // a stain over the first finder's light ring
		for x := range 40 {
			img.SetGray(20+x, 20+y, color.Gray{Y: 40})
		}
	}
	if p := Prints(img, found)[0]; p.Weakest > 0.1 || p.Contrast < 0.5 {
		t.Errorf("one finder gone: %+v", p)
	}
	if p := Prints(img, []Found{{}})[0]; p != (Print{}) {
		t.Errorf("no corners: %+v", p)
	}
}

// FuzzOpen opens anything; what opens is as large as its head said. Pictures of
// more than a million pixels are left to TestOpenRefuses.
func FuzzOpen(f *testing.F) {
	for _, name := range []string{"video-005.gray.jpeg", "blue-purple-pink.lossy.webp"} {
		file, err := os.ReadFile(filepath.Join("testdata", "kinds", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(file)
	}
	f.Add(pngHead(3, 3, 8, 2))
	f.Fuzz(func(t *testing.T, file []byte) {
		w, h, err := Size(file)
		if err != nil || w*h > 1_000_000 {
			return
		}
		p, err := Open(file)
		if err == nil && (p.Bounds().Dx() != w || p.Bounds().Dy() != h) {
			t.Errorf("%v, not %d x %d", p.Bounds(), w, h)
		}
	})
}
