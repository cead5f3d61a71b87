package photo

import (
	"flag"
	"image"
	"math/rand/v2"
	"testing"

	"soaktag/labels/qr"
)

var perfect = flag.Int("perfect", atLength(120, 40), "how many perfect renderings are read")

// Perfect renderings are all read, at every size, with and without the light
// border.
func TestPerfectRenderings(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 7))
	for range *perfect {
		c := randomCode(rng)
		s, err := qr.Encode(c.Packed())
		if err != nil {
			t.Fatal(err)
		}
		pixels := 1 + rng.IntN(16)
		img := s.Image(pixels)
		border := qr.QuietZone * pixels
		if rng.IntN(4) == 0 {
			img = img.SubImage(img.Rect.Inset(border)).(*image.Gray)
			border = 0
		}
		found := Read(img, nil, Options{})
		if len(found) != 1 || found[0].Code != c || found[0].How != Decoded {
			t.Errorf("%s at %d pixels a module, border %d: %+v", c, pixels, border, found)
		}
	}
}

// symbolImage draws the symbol of a text with its light border.
func symbolImage(t testing.TB, text string, pixels int) *image.Gray {
	t.Helper()
	s, err := qr.Encode(text)
	if err != nil {
		t.Fatal(err)
	}
	return s.Image(pixels)
}
