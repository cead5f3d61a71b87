package report

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"testing"
)

// marked is a picture with a red corner at the top left.
func marked(w, h int) *image.RGBA {
	p := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			p.Set(x, y, color.White)
		}
	}
	p.Set(0, 0, color.RGBA{255, 0, 0, 255})
	return p
}

// Where the corner lies that the camera has at its top left, by how it was
// held. Source: Exif 2.3, 4.6.4, tag Orientation ("the 0th row is at the ...
// and the 0th column is the ... side").
func TestUpright(t *testing.T) {
	const w, h = 4, 3
	for held, want := range map[int]image.Point{1: {0, 0}, 2: {w - 1, 0}, 3: {w - 1, h - 1}, 4: {0, h - 1},
		5: {0, 0}, 6: {h - 1, 0}, 7: {h - 1, w - 1}, 8: {0, w - 1}, 0: {0, 0}, 9: {0, 0}} {
		p := upright(marked(w, h), held)
		if r, g, _, _ := p.At(want.X, want.Y).RGBA(); r != 0xFFFF || g != 0 {
			t.Errorf("held %d: the corner is not at %v", held, want)
		}
		if turned := held >= 5 && held <= 8; turned != (p.Rect.Dx() == h) {
			t.Errorf("held %d: %v", held, p.Rect)
		}
	}
}

// asJPEG is a picture as a camera writes it, held as said.
func asJPEG(t testing.TB, p image.Image, held byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, p, nil); err != nil {
		t.Fatal(err)
	}
	tiff := append([]byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00"), held, 0, 0, 0, 0, 0, 0)
	segment := append([]byte{0xFF, 0xE1, 0, byte(len(tiff) + 2)}, tiff...)
	return append(append([]byte{0xFF, 0xD8}, segment...), b.Bytes()[2:]...)
}

func TestShrunk(t *testing.T) {
	for _, c := range []struct{ w, h, side, wantW, wantH int }{{4000, 3000, 500, 500, 375}, {10, 20, 500, 10, 20}, {1001, 3, 500, 333, 1}, {1, 1, 1, 1, 1}} {
		p := shrunk(image.NewGray(image.Rect(5, 5, 5+c.w, 5+c.h)), c.side)
		if p.Rect.Dx() != c.wantW || p.Rect.Dy() != c.wantH {
			t.Errorf("%d x %d to %d: %v", c.w, c.h, c.side, p.Rect)
		}
	}
	half := image.NewGray(image.Rect(0, 0, 2, 2))
	half.Pix = []byte{0, 255, 255, 0}
	if p := shrunk(half, 1); p.Pix[0] != 127 {
		t.Errorf("the mean of black and white is %d", p.Pix[0])
	}
}

func TestShow(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, marked(1200, 900)); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		bytes         []byte
		width, height int
	}{"png": {b.Bytes(), 400, 300}, "upright": {asJPEG(t, marked(1200, 900), 1), 400, 300}, "on its side": {asJPEG(t, marked(1200, 900), 6), 300, 400}} {
		f := face{}
		if err := f.show(c.bytes); err != nil || f.Width != c.width || f.Height != c.height || !strings.HasPrefix(string(f.Source), "data:image/jpeg;base64,") {
			t.Errorf("%s: %v, %d x %d", name, err, f.Width, f.Height)
		}
	}
	for name, bad := range map[string][]byte{"nothing": nil, "text": []byte("RIFF....WEBP"), "half": b.Bytes()[:b.Len()/2]} {
		if f := (&face{}); f.show(bad) == nil || f.Source != "" {
			t.Errorf("%s is shown", name)
		}
	}
}
