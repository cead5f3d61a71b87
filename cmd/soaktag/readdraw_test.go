package main

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"

	"soaktag/labels/qr"
)

// A camera is what a drawn photograph says about itself.
type camera struct {
	maker, model, serial, taken, offset, part string
	orientation                               uint16
}

// exif is an Exif segment (Exif 2.32, 4.5), little-endian.
func (c camera) exif() []byte {
	var out, values bytes.Buffer
	le := binary.LittleEndian
	second := []asciiTag{{0x9003, c.taken}, {0x9011, c.offset}, {0x9291, c.part}, {0xA431, c.serial}}
	first := []asciiTag{{0x010F, c.maker}, {0x0110, c.model}}
	at1, n1 := 8, len(first)+2
	at2 := at1 + 2 + 12*n1 + 4
	room := at2 + 2 + 12*len(second) + 4
	put := func(t asciiTag) []byte {
		text := append([]byte(t.text), 0)
		entry := le.AppendUint32(le.AppendUint16(le.AppendUint16(nil, t.number), 2), uint32(len(text)))
		if len(text) <= 4 {
			return append(entry, append(text, 0, 0, 0, 0)[:4]...)
		}
		entry = le.AppendUint32(entry, uint32(room+values.Len()))
		values.Write(text)
		return entry
	}
	out.WriteString("II*\x00\x08\x00\x00\x00")
	out.Write(le.AppendUint16(nil, uint16(n1)))
	for _, t := range first {
		out.Write(put(t))
	}
	out.Write(le.AppendUint32(le.AppendUint32(le.AppendUint16(le.AppendUint16(nil, 0x0112), 3), 1), uint32(c.orientation)))
	out.Write(le.AppendUint32(le.AppendUint32(le.AppendUint16(le.AppendUint16(nil, 0x8769), 4), 1), uint32(at2)))
	out.Write([]byte{0, 0, 0, 0})
	out.Write(le.AppendUint16(nil, uint16(len(second))))
	for _, t := range second {
		out.Write(put(t))
	}
	out.Write([]byte{0, 0, 0, 0})
	body := append([]byte("Exif\x00\x00"), append(out.Bytes(), values.Bytes()...)...)
	return append(binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(body)+2)), body...)
}

type asciiTag struct {
	number uint16
	text   string
}

// snapshot draws a photograph of labels that say the texts, each turned and seen
// a little from the side, as JPEG with the camera's Exif.
func snapshot(t testing.TB, c camera, texts ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, tray(t, 190, texts...), &jpeg.Options{Quality: 80}); err != nil {
		t.Fatal(err)
	}
	return withExif(out.Bytes(), c)
}

func withExif(file []byte, c camera) []byte {
	return bytes.Join([][]byte{file[:2], c.exif(), file[2:]}, nil)
}

// tray draws labels side by side, four in a row and cell pixels apart, on grey
// wood.
func tray(t testing.TB, cell int, texts ...string) *image.Gray {
	t.Helper()
	rng := rand.New(rand.NewPCG(3, uint64(len(texts))))
	columns := max(1, min(4, len(texts)))
	rows := max(1, (len(texts)+columns-1)/columns)
	img := image.NewGray(image.Rect(0, 0, max(240, columns*cell), max(200, rows*cell)))
	for i := range img.Pix {
		img.Pix[i] = uint8(120 + i%img.Stride/16 + rng.IntN(5))
	}
	for i, text := range texts {
		s, err := qr.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		middle := [2]float64{(float64(i%columns) + 0.5) * float64(cell), (float64(i/columns) + 0.5) * float64(cell)}
		paint(img, s, middle, float64(cell)*0.62, rng.Float64()*0.5-0.25)
	}
	return img
}

// paint draws a symbol with its light border about a middle, side pixels wide,
// turned by radians, and farther away at its right.
func paint(img *image.Gray, s qr.Symbol, middle [2]float64, side, turn float64) {
	const lean, samples = 0.12, 3
	modules := float64(s.Size + 2*qr.QuietZone)
	sin, cos := math.Sincos(turn)
	for y := int(middle[1] - side); y < int(middle[1]+side); y++ {
		for x := int(middle[0] - side); x < int(middle[0]+side); x++ {
			sum, hits := 0, 0
			for n := range samples * samples {
				dx := float64(x) + (float64(n%samples)+0.5)/samples - middle[0]
				dy := float64(y) + (float64(n/samples)+0.5)/samples - middle[1]
				u, v := (cos*dx+sin*dy)/side, (cos*dy-sin*dx)/side
				k := 1 / (1 - lean*u) // the right side is smaller
				u, v = u*k, v*k
				if math.Abs(u) > 0.5 || math.Abs(v) > 0.5 {
					continue
				}
				hits++
				if !s.Dark(int((u+0.5)*modules)-qr.QuietZone, int((v+0.5)*modules)-qr.QuietZone) {
					sum += 205
				} else {
					sum += 45
				}
			}
			if hits > 0 && (image.Point{x, y}).In(img.Rect) {
				old := int(img.GrayAt(x, y).Y)
				img.Pix[img.PixOffset(x, y)] = uint8((sum + old*(samples*samples-hits)) / (samples * samples))
			}
		}
	}
}
