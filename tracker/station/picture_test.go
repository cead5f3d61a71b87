package station

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"soaktag/labels/qr"
)

// drawn draws labels side by side on a board, in rows of so many, as a camera that
// stands straight above would see them, and returns the JPEG. Every picture differs
// from the next in its grain, as photographs do.
func drawn(t *testing.T, width, height, inRow, module int, texts ...string) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, width, height))
	grain := uint32(len(texts)*7919 + int(texts[0][len(texts[0])-1]))
	for i := range img.Pix {
		grain = grain*1664525 + 1013904223
		img.Pix[i] = 150 + uint8(grain>>28)
	}
	rows := (len(texts) + inRow - 1) / inRow
	for i, text := range texts {
		symbol, err := qr.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		label := symbol.Image(module)
		center := image.Pt(width*(2*(i%inRow)+1)/(2*inRow), height*(2*(i/inRow)+1)/(2*rows))
		at := label.Bounds().Add(center.Sub(label.Bounds().Max.Div(2)))
		draw.Draw(img, at.Inset(-module), image.NewUniform(color.Gray{Y: 250}), image.Point{}, draw.Src)
		draw.Draw(img, at, label, image.Point{}, draw.Src)
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 85}); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// video writes a film of pictures as motion JPEG, which is one after the other, each
// so many frames long. A browser plays it as its camera's, over and over.
func video(t *testing.T, frames int, pictures ...[]byte) string {
	t.Helper()
	var film bytes.Buffer
	for _, p := range pictures {
		for range frames {
			film.Write(p)
		}
	}
	return written(t, "film.mjpeg", film.Bytes())
}

func written(t *testing.T, name string, content []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, content, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
