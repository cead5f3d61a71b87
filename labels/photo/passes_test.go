package photo

import (
	"image"
	"testing"

	"soaktag/labels"
)

// A clear label is read from the small picture: the full one is not looked at,
// and no later pass has anything to do.
func TestClearLabelsNeedOnePass(t *testing.T) {
	p := lumaOf(pasted(t, 6, "HBR017J1")).double()
	r := newReader(&image.Gray{Pix: p.pix, Stride: p.w, Rect: image.Rect(0, 0, p.w, p.h)}, nil, Options{})
	r.firstPass()
	if len(r.found) != 1 || r.wanting() || r.many() {
		t.Fatalf("found %v, wanting %v", r.found, r.wanting())
	}
	if r.light[0].contrast != nil {
		t.Error("the full picture was looked at")
	}
}

// Two texts in one place are both kept and ambiguous; the same text twice is
// one symbol, and a neighbour is not touched.
func TestTwoTextsInOnePlace(t *testing.T) {
	square := func(x float64) [4]Point { return [4]Point{{x, 0}, {x + 9, 0}, {x + 9, 9}, {x, 9}} }
	r := &reader{grown: 1}
	r.file(Found{Text: "HBR017J1", Corners: square(0)})
	r.file(Found{Text: "HBR017J1", Corners: square(1)})
	r.file(Found{Text: labels.Code{Prefix: "HBR", Serial: 18, Half: 1}.Packed(), Corners: square(2)})
	r.file(Found{Text: "HBR017J2", Corners: square(20)})
	found := r.results()
	if len(found) != 3 || !found[0].Ambiguous || !found[1].Ambiguous || found[2].Ambiguous {
		t.Errorf("%+v", found)
	}
}

// With a list of one, which is the other half of what the picture shows or a
// neighbour in the study, nothing is matched. Without SOAKTAG_CI in one picture.
func TestAListOfLookAlikes(t *testing.T) {
	unraced(t)
	t.Parallel()
	for _, p := range []struct {
		name string
		code labels.Code
	}{
		{"gblur-4-00201.jpg", labels.Code{Prefix: "WZQ", Serial: 251, Half: 2}},
		{"blotch-6-00201.jpg", labels.Code{Prefix: "QU", Serial: 345, Half: 1}},
	}[:atLength(2, 1)] {
		img, c := picture(t, p.name), p.code
		for _, other := range []labels.Code{{Prefix: c.Prefix, Serial: c.Serial, Half: 3 - c.Half}, {Prefix: c.Prefix, Serial: c.Serial + 1, Half: c.Half}} {
			l := &List{byText: map[string]int{}}
			l.add(other.Packed(), other)
			if found := Read(img, l, Options{}); len(found) != 0 {
				t.Errorf("%s for %s: %+v", other, c, found)
			}
		}
		l := &List{byText: map[string]int{}}
		l.add(c.Packed(), c)
		if found := Read(img, l, Options{}); len(found) != 1 || found[0].Code != c || found[0].How != Matched {
			t.Errorf("%s alone on the list: %+v", c, found)
		}
	}
}

func TestNewList(t *testing.T) {
	l := NewList([]labels.Code{labels.New("HBR", 17), {Prefix: "HBR", Serial: 17, Half: 2}, {Prefix: "I", Serial: 1}, {}},
		labels.Card{Kind: labels.CardStage, Name: "lift-out"}, labels.Card{Kind: labels.CardTest})
	var texts []string
	for _, e := range l.entries {
		texts = append(texts, e.text)
	}
	if len(texts) != 4 || texts[0] != "HBR017J" || texts[2] != "HBR017J2" || texts[3] != ".LIFTOUT" {
		t.Errorf("%q", texts)
	}
}
