package qr

import (
	"fmt"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
)

// The reader is a library that shares no code with the encoder. It stands here
// and not in photo alone, because what is printed must have been read: photo
// finds symbols in pictures, and a label must not depend on pictures.

// pixelsAModule is what the reader likes for a clean symbol.
const pixelsAModule = 4

// ReadBack draws the symbol, reads the picture with a reader that shares no
// code with the encoder, and returns an error unless exactly the symbol's text
// comes back. It uses the reader for several symbols, which missed none of
// 40,000 random codes; the plain one missed one in a thousand.
func ReadBack(s Symbol) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("symbol %q cannot be read back: %v", short(s.Text), p)
		}
	}()
	if s.Size == 0 {
		return fmt.Errorf("symbol %q cannot be read back: it is empty", short(s.Text))
	}
	got, err := read(s)
	if err != nil {
		return fmt.Errorf("symbol %q cannot be read back: %w", short(s.Text), err)
	}
	if got != s.Text {
		return fmt.Errorf("symbol %q reads back as %q", short(s.Text), short(got))
	}
	return nil
}

func read(s Symbol) (string, error) {
	source := gozxing.NewLuminanceSourceFromImage(s.Image(pixelsAModule))
	bitmap, err := gozxing.NewBinaryBitmap(gozxing.NewHybridBinarizer(source))
	if err != nil {
		return "", err
	}
	results, err := multi.NewQRCodeMultiReader().DecodeMultiple(bitmap, nil)
	if err != nil {
		return "", err
	}
	if len(results) != 1 {
		return "", fmt.Errorf("%d symbols found", len(results))
	}
	return results[0].GetText(), nil
}
