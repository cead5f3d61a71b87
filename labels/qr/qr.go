// Package qr turns the text of a code or card into a QR symbol, and reads a
// symbol back before it is printed.
package qr

import (
	"fmt"
	"image"

	qrcode "github.com/skip2/go-qrcode"
)

// QuietZone is the light border that a symbol needs on every side, in modules
// (ISO/IEC 18004).
const QuietZone = 4

// longest is the most bytes that fit the largest symbol at level H.
const longest = 1273

// A Symbol is a square of dark and light modules without its quiet zone. The
// zero Symbol has no modules.
type Symbol struct {
	Text string // what it says
	Size int    // modules a side: 21 for version 1, then 4 more a version
	dark []bool // row by row
}

// Encode returns the QR symbol of text at error correction level H, the
// strongest, in the smallest version that holds it: version 1 (21 modules a
// side) up to ten characters of the digits, capitals, space and $%*+-./:
// which holds every code. Empty text, and text too long for a symbol, are
// errors.
func Encode(text string) (s Symbol, err error) {
	defer func() {
		if p := recover(); p != nil {
			s, err = Symbol{}, fmt.Errorf("encode %q: %v", short(text), p)
		}
	}()
	if text == "" || len(text) > longest {
		return Symbol{}, fmt.Errorf("encode %q: a symbol holds 1 to %d bytes, not %d", short(text), longest, len(text))
	}
	code, err := qrcode.New(text, qrcode.Highest) // the library's names are shifted: Highest is level H
	if err != nil {
		return Symbol{}, fmt.Errorf("encode %q: %w", short(text), err)
	}
	code.DisableBorder = true // before Bitmap, which otherwise adds it
	return flat(text, code.Bitmap()), nil
}

func flat(text string, rows [][]bool) Symbol {
	s := Symbol{Text: text, Size: len(rows), dark: make([]bool, 0, len(rows)*len(rows))}
	for _, row := range rows {
		s.dark = append(s.dark, row...)
	}
	return s
}

func short(text string) string {
	if len(text) > 40 {
		return text[:40] + "..."
	}
	return text
}

// Dark reports whether the module in column x of row y is dark, counted from
// the top left. Outside the symbol everything is light.
func (s Symbol) Dark(x, y int) bool {
	return x >= 0 && y >= 0 && x < s.Size && y < s.Size && s.dark[y*s.Size+x]
}

// Runs hands out the dark modules as runs along the rows, from the top left: where
// each begins, and how many there are. Filled one by one modules would leave hairlines.
func (s Symbol) Runs(do func(x, y, length int)) {
	for y := range s.Size {
		for x := 0; x < s.Size; x++ {
			from := x
			for s.Dark(x, y) {
				x++
			}
			if x > from {
				do(from, y, x-from)
			}
		}
	}
}

// Image draws the symbol with its quiet zone, pixels to a module (at least one).
func (s Symbol) Image(pixels int) *image.Gray {
	pixels = max(pixels, 1)
	side := (s.Size + 2*QuietZone) * pixels
	img := image.NewGray(image.Rect(0, 0, side, side))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for y := range s.Size {
		first := img.Pix[(y+QuietZone)*pixels*side:][:side]
		for x := range s.Size {
			if s.Dark(x, y) {
				clear(first[(x+QuietZone)*pixels:][:pixels])
			}
		}
		for row := 1; row < pixels; row++ {
			copy(img.Pix[((y+QuietZone)*pixels+row)*side:][:side], first)
		}
	}
	return img
}
