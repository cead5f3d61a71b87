package photo

import (
	"bytes"
	"image"
	"image/color"
	"testing"
)

// Show outlines what was found where it was found, upright, and leaves the rest
// of the picture as it was.
func TestShow(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 400, 300))
	for i := range img.Pix {
		img.Pix[i] = 128
	}
	p := Picture{Image: img, Exif: Exif{Orientation: 6}}
	found := []Found{
		{Text: "HBR017J1", How: Decoded, Corners: [4]Point{{50, 50}, {150, 50}, {150, 150}, {50, 150}}},
		{Text: "HBR018H1", How: Matched, Ambiguous: true, Corners: [4]Point{{250, 50}, {350, 50}, {350, 150}, {250, 150}}},
	}
	shown, err := Show(p, found)
	if err != nil || shown.Rect != image.Rect(0, 0, 300, 400) {
		t.Fatalf("%v, %v", shown.Rect, err)
	}
	plain := color.RGBA{128, 128, 128, 255}
	if shown.RGBAAt(200, 100) != plain { // the middle of the first symbol
		t.Error("the symbol itself is painted over")
	}
	if at := p.Upright(Point{100, 50}); shown.RGBAAt(int(at.X), int(at.Y)) != (color.RGBA{0, 140, 60, 255}) {
		t.Errorf("no outline at %v: %v", at, shown.RGBAAt(int(at.X), int(at.Y)))
	}
	if at := p.Upright(Point{300, 100}); shown.RGBAAt(int(at.X), int(at.Y)) == plain {
		t.Error("two answers are not crossed out")
	}
	again, err := Show(p, found)
	if err != nil || !bytes.Equal(shown.Pix, again.Pix) {
		t.Errorf("drawn otherwise the second time: %v", err)
	}
}

// Nothing that a reader may return makes Show fail.
func TestShowAnything(t *testing.T) {
	for _, size := range []int{1, 30, 2500} {
		p := Picture{Image: image.NewGray(image.Rect(7, 9, 7+size, 9+1+size/9)), Exif: Exif{Orientation: 3}}
		long := Found{Text: "a very long text that no label of ours holds, 世界", Corners: [4]Point{{-1e9, 3}, {1e300, -5}, {2, 2}, {1, 1e4}}}
		shown, err := Show(p, []Found{{}, long})
		if err != nil || max(shown.Rect.Dx(), shown.Rect.Dy()) > showSide {
			t.Errorf("%d: %v, %v", size, shown.Rect, err)
		}
	}
}
