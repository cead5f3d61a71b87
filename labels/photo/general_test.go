package photo

import (
	"image"
	"image/color"
	"image/draw"
	"slices"
	"testing"

	"soaktag/labels/qr"
)

// pasted puts symbols of the texts side by side on a brown ground.
func pasted(t testing.TB, pixels int, texts ...string) *image.RGBA {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 1200, 700))
	draw.Draw(img, img.Rect, image.NewUniform(color.RGBA{150, 110, 70, 255}), image.Point{}, draw.Src)
	at := image.Pt(40, 60)
	for _, text := range texts {
		s, err := qr.Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		part := s.Image(pixels)
		draw.Draw(img, part.Rect.Add(at), part, image.Point{}, draw.Src)
		at.X += part.Rect.Dx() + 30
	}
	return img
}

func textsOf(found []Found) (texts []string) {
	for _, f := range found {
		texts = append(texts, f.Text)
	}
	slices.Sort(texts)
	return texts
}

// A symbol that is none of ours is passed over, beside ours, before and after
// it; on request it is read, and never has a code.
func TestForeignSymbols(t *testing.T) {
	unraced(t)
	t.Parallel()
	const foreign, tiny = "HTTP://EXAMPLE.ORG/SOAK", "HELLO 7"
	for _, texts := range [][]string{{foreign, "HBR017J1"}, {"HBR017J1", foreign}, {tiny, "HBR017J1", foreign}} {
		img := pasted(t, 6, texts...)
		if found := Read(img, nil, Options{}); len(found) != 1 || found[0].Text != "HBR017J1" || found[0].Half != 1 {
			t.Errorf("%q: %q", texts, textsOf(found))
		}
		found := Read(img, nil, Options{Any: true})
		slices.Sort(texts)
		if !slices.Equal(textsOf(found), texts) {
			t.Errorf("%q, any: %q", texts, textsOf(found))
		}
		for _, f := range found {
			if ours := f.Text == "HBR017J1"; (f.Code.Serial != 0) != ours || f.Foreign == ours {
				t.Errorf("%q, any: %+v", texts, f)
			}
		}
	}
}

// Cards are read without being asked for, those too that do not fit the
// smallest symbol; they have no code.
func TestCards(t *testing.T) {
	found := Read(pasted(t, 5, ".LIFTOUT", "HBR017J1", ".WHOANNABELLA"), nil, Options{})
	if want := []string{".LIFTOUT", ".WHOANNABELLA", "HBR017J1"}; !slices.Equal(textsOf(found), want) {
		t.Errorf("%q", textsOf(found))
	}
	for _, f := range found {
		if (f.Code.Serial != 0) != (f.Text == "HBR017J1") || f.Foreign {
			t.Errorf("%+v", f)
		}
	}
}

// A code whose check character is wrong is no code of a specimen.
func TestWrongCheckCharacterIsForeign(t *testing.T) {
	if found := Read(pasted(t, 6, "HBR017K1"), nil, Options{}); len(found) != 0 {
		t.Errorf("%+v", found)
	}
}
