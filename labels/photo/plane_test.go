package photo

import (
	"image"
	"image/color"
	"reflect"
	"testing"
)

// A hidden picture is one of which nothing is known but its colours.
type hidden struct{ image.Image }

// The pixels of a page give the same planes, clear ones too, as if each had
// been asked for its colour.
func TestPixelsOfAPage(t *testing.T) {
	img := image.NewRGBA(image.Rect(3, 5, 67, 69))
	for i := range 64 * 64 {
		c := color.NRGBA{uint8(i * 7), uint8(i * 13), uint8(i / 16), [4]uint8{255, 255, 130, 0}[i%4]}
		img.Set(3+i%64, 5+i/64, c)
	}
	for name, of := range map[string]func(image.Image) *plane{"lightness": lumaOf, "red": redOf} {
		part := img.SubImage(image.Rect(10, 10, 50, 60))
		if got, want := of(part), of(hidden{part}); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v, by colour %v", name, got.pix[:8], want.pix[:8])
		}
	}
}
