package photo

import (
	"fmt"
	"image"
	"image/color"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/encoder"

	"soaktag/labels"
)

// drawn draws a symbol of a level on a page, each module so many pixels wide;
// version 0 is the smallest that holds the text.
func drawn(t testing.TB, text string, level decoder.ErrorCorrectionLevel, version, pixels int) *image.Gray {
	t.Helper()
	hints := map[gozxing.EncodeHintType]interface{}{gozxing.EncodeHintType_CHARACTER_SET: "UTF-8"}
	if version > 0 {
		hints[gozxing.EncodeHintType_QR_VERSION] = version
	}
	code, err := encoder.Encoder_encode(text, level, hints)
	if err != nil {
		t.Fatal(err)
	}
	m := code.GetMatrix()
	side := (m.GetWidth() + 16) * pixels
	img := image.NewGray(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			u, v := x/pixels-8, y/pixels-8
			img.SetGray(x, y, color.Gray{225})
			if x/pixels >= 8 && y/pixels >= 8 && u < m.GetWidth() && v < m.GetHeight() && m.Get(u, v) == 1 {
				img.SetGray(x, y, color.Gray{40})
			}
		}
	}
	return img
}

// changed returns the picture with the pixel at each place taken from another.
func changed(img *image.Gray, from func(x, y int) color.Gray) *image.Gray {
	out := image.NewGray(img.Rect)
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			out.SetGray(x, y, from(x, y))
		}
	}
	return out
}

func inverted(img *image.Gray) *image.Gray {
	return changed(img, func(x, y int) color.Gray { return color.Gray{255 - img.GrayAt(x, y).Y} })
}

func mirrored(img *image.Gray) *image.Gray {
	return changed(img, func(x, y int) color.Gray { return img.GrayAt(img.Rect.Dx()-1-x, y) })
}

// Every version and level is read, dark on light and light on dark, and in a
// mirror; corners are clockwise from the symbol's own top left. Without
// SOAKTAG_CI only the smallest and one with marks inside.
func TestAnyVersionAndLevel(t *testing.T) {
	unraced(t)
	t.Parallel()
	levels := []decoder.ErrorCorrectionLevel{decoder.ErrorCorrectionLevel_L, decoder.ErrorCorrectionLevel_M,
		decoder.ErrorCorrectionLevel_Q, decoder.ErrorCorrectionLevel_H}
	for i, version := range []int{1, 7, 3, 14, 40}[:atLength(5, 2)] {
		text := fmt.Sprintf("v%d ", version) + strings.Repeat("soaked. ", version*version/9)
		img := drawn(t, strings.TrimSpace(text), levels[i%4], version, 4)
		for name, img := range map[string]*image.Gray{"as drawn": img, "inverted": inverted(img), "mirrored": mirrored(img)} {
			found := Read(img, nil, Options{Any: true})
			if len(found) != 1 || found[0].Text != strings.TrimSpace(text) {
				t.Errorf("version %d, %s: %q", version, name, textsOf(found))
				continue
			}
			want := Point{32, 32}
			if name == "mirrored" {
				want.X = float64(img.Rect.Dx()) - 32
			}
			if d := found[0].Corners[0].minus(want).length(); d > 6 {
				t.Errorf("version %d, %s: top left %v, drawn at %v", version, name, found[0].Corners[0], want)
			}
		}
	}
}

func TestAnyText(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, text := range []string{"Größe: 12 µm", "漢字とかな", "1234567890", "Проба №7", "ξύλο", "a\nb"}[:atLength(6, 3)] {
		if found := Read(drawn(t, text, decoder.ErrorCorrectionLevel_M, 0, 5), nil, Options{Any: true}); len(found) != 1 || found[0].Text != text {
			t.Errorf("%q: %q", text, textsOf(found))
		}
	}
}

// A code printed at another level is not a label of ours: it is passed over, and
// on request reported without being taken for the specimen's. Without
// SOAKTAG_CI at one level.
func TestOurCodeAtAnotherLevel(t *testing.T) {
	unraced(t)
	t.Parallel()
	levels := []decoder.ErrorCorrectionLevel{decoder.ErrorCorrectionLevel_Q, decoder.ErrorCorrectionLevel_L, decoder.ErrorCorrectionLevel_M}
	for _, level := range levels[:atLength(3, 1)] {
		img := drawn(t, "HBR017J1", level, 1, 6)
		if found := Read(img, nil, Options{}); len(found) != 0 {
			t.Errorf("%v: %+v", level, found)
		}
		found := Read(img, nil, Options{Any: true})
		if len(found) != 1 || found[0].Text != "HBR017J1" || !found[0].Foreign || found[0].Code.Serial != 0 || found[0].Half != 0 {
			t.Errorf("%v, any: %+v", level, found)
		}
	}
}

// What is drawn otherwise than soaktag draws is none of ours, whatever it says:
// it is passed over, and on request reported as foreign. Without SOAKTAG_CI
// only some of it.
func TestForeignCards(t *testing.T) {
	unraced(t)
	t.Parallel()
	high := decoder.ErrorCorrectionLevel_H
	foreign := map[string]*image.Gray{
		".YES":    mirrored(drawn(t, ".YES", high, 0, 6)),
		".UNDO":   inverted(drawn(t, ".UNDO", high, 0, 6)),
		".LIFT":   mirrored(drawn(t, ".LIFT", high, 2, 6)),
		"HELLO 7": drawn(t, "HELLO 7", high, 0, 6),
	}
	for i, text := range []string{".BATHB2", ".WHOANNA SMITH", ".TRIAL03", ".CLOCK20260321101530"}[:atLength(4, 1)] {
		level := []decoder.ErrorCorrectionLevel{decoder.ErrorCorrectionLevel_L, decoder.ErrorCorrectionLevel_M, decoder.ErrorCorrectionLevel_Q}[i%3]
		foreign[text] = drawn(t, text, level, 0, 6)
	}
	for _, text := range []string{".BATH-B2", ".yes", ".Bathb2", ".BATH B2", ".ÖL", "."}[:atLength(6, 2)] {
		foreign[text] = drawn(t, text, high, 0, 6)
	}
	for text, img := range foreign {
		if found := Read(img, nil, Options{}); len(found) != 0 {
			t.Errorf("%q: %+v", text, found)
		}
		found := Read(img, nil, Options{Any: true})
		if len(found) != 1 || found[0].Text != text || !found[0].Foreign || found[0].Code != (labels.Code{}) {
			t.Errorf("%q, any: %+v", text, found)
		}
	}
}

// What labels prints is ours with every option.
func TestOurCards(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, text := range []string{".BATHB2", ".YES", ".WHOANNA SMITH", ".TRIAL03", ".CLOCK20260321101530", ".TEST0189AQWMYZ-/", ".LIFTOUT", "HBR017J1"} {
		for _, o := range []Options{{}, {Any: true}} {
			found := Read(drawn(t, text, decoder.ErrorCorrectionLevel_H, 0, 6), nil, o)
			if len(found) != 1 || found[0].Text != text || found[0].Foreign {
				t.Errorf("%q, %+v: %+v", text, o, found)
			}
		}
	}
}

// Noise and stripes hold nothing, and asking for anything finds nothing there.
func TestAnyFindsNothingInNoise(t *testing.T) {
	unraced(t)
	t.Parallel()
	r := rand.New(rand.NewSource(3))
	noise := image.NewGray(image.Rect(0, 0, 500, 400))
	for i := range noise.Pix {
		noise.Pix[i] = uint8(r.Intn(256))
	}
	stripes := changed(noise, func(x, y int) color.Gray { return color.Gray{uint8(x / 3 % 2 * 200)} })
	for _, img := range []*image.Gray{noise, stripes, image.NewGray(image.Rect(0, 0, 1, 1)), image.NewGray(image.Rect(0, 0, 3, 700))} {
		if found := Read(img, nil, Options{Any: true}); len(found) != 0 {
			t.Errorf("%v: %q", img.Rect, textsOf(found))
		}
	}
}

// A sheet's data modules are as many as its version has code words for.
func TestSheetsHoldTheirWords(t *testing.T) {
	for version := 1; version <= mostVersion; version++ {
		s := sheets[version]()
		if got := len(s.data) / 8; got != s.version.GetTotalCodewords() {
			t.Errorf("version %d: room for %d words, not %d", version, got, s.version.GetTotalCodewords())
		}
	}
	if !slices.Equal(sheets[1]().data[:len(version1.data)], version1.data[:]) {
		t.Error("the first sheet is not the symbol that soaktag prints")
	}
}
