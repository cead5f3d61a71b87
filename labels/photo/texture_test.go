package photo

import (
	"image"
	"math/rand/v2"
	"testing"
)

// Pictures full of what looks like finders, and of noise, show nothing, and do
// not take for ever.
func TestTextures(t *testing.T) {
	unraced(t)
	const w, h = 480, 420
	rng := rand.New(rand.NewPCG(9, 7))
	finders := symbolImage(t, "HBR017J1", 3)
	for name, tone := range map[string]func(x, y int) uint8{
		"noise":   func(int, int) uint8 { return uint8(rng.UintN(256)) },
		"coarse":  func(x, y int) uint8 { return uint8((x/4*7919 + y/4*104729) * 2654435761 >> 13) },
		"checks":  func(x, y int) uint8 { return uint8((x/3 + y/3) % 2 * 255) },
		"finders": func(x, y int) uint8 { return finders.GrayAt(9+x%27, 9+y%27).Y },
	} {
		img := image.NewGray(image.Rect(0, 0, w, h))
		for i := range img.Pix {
			img.Pix[i] = tone(i%w, i/w)
		}
		if found := Read(img, known(t), Options{Any: true}); len(found) != 0 {
			t.Errorf("%s: %+v", name, found)
		}
	}
}
