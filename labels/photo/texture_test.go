package photo

import (
	"image"
	"math/rand/v2"
	"testing"
)

// Pictures full of what looks like finders, and of noise, show nothing, and do
// not take for ever: without SOAKTAG_CI two of them.
func TestTextures(t *testing.T) {
	unraced(t)
	t.Parallel()
	const w, h = 480, 420
	rng := rand.New(rand.NewPCG(9, 7))
	finders := symbolImage(t, "HBR017J1", 3)
	for _, s := range []struct {
		name string
		tone func(x, y int) uint8
	}{
		{"checks", func(x, y int) uint8 { return uint8((x/3 + y/3) % 2 * 255) }},
		{"coarse", func(x, y int) uint8 { return uint8((x/4*7919 + y/4*104729) * 2654435761 >> 13) }},
		{"noise", func(int, int) uint8 { return uint8(rng.UintN(256)) }},
		{"finders", func(x, y int) uint8 { return finders.GrayAt(9+x%27, 9+y%27).Y }},
	}[:atLength(4, 2)] {
		img := image.NewGray(image.Rect(0, 0, w, h))
		for i := range img.Pix {
			img.Pix[i] = s.tone(i%w, i/w)
		}
		if found := Read(img, known(t), Options{Any: true}); len(found) != 0 {
			t.Errorf("%s: %+v", s.name, found)
		}
	}
}
