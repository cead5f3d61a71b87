package worksheet

import (
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/design"
)

// boardStudy has 28 blanks to cut from each of two boards, 4 of them spare.
func boardStudy() *tracker.Study {
	box := tracker.Box{Length: 2.4, Width: 0.150, Thickness: 0.022}
	return &tracker.Study{
		Title: "an invented study", Prefix: "HBR", Seed: 20260221,
		Specimen:   tracker.SpecimenPlan{Blank: tracker.Box{Length: 0.048, Width: 0.045, Thickness: 0.020}},
		Wood:       tracker.Wood{Kerf: 0.003, Spare: 0.15, Boards: []tracker.Board{{Name: `A <"&'`, Size: box}, {Name: "B", Size: box}}},
		Treatments: []tracker.Treatment{{Key: "dry", Replicates: 12}, {Key: "soaked", Replicates: 12, Soaked: true}},
		Adhesives:  []tracker.Adhesive{{Key: "CAS"}},
	}
}

// parse reads a drawing with the XML reader of the standard library and returns
// its elements and its text.
func parse(t *testing.T, svg string) (elements []string, text string) {
	t.Helper()
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return elements, text
		} else if err != nil {
			t.Fatalf("%v\n%s", err, svg)
		}
		switch x := token.(type) {
		case xml.StartElement:
			elements = append(elements, x.Name.Local)
		case xml.CharData:
			text += string(x)
		}
	}
}

func TestSVG(t *testing.T) {
	s := boardStudy()
	l := design.Layouts(s)[0]
	drawing, _ := boardSVG(l, 0)
	elements, text := parse(t, drawing)
	rects := 0
	for _, e := range elements {
		if e == "rect" {
			rects++
		}
	}
	if rects != len(l.Blanks)+1 || !slices.Contains(elements, "title") || !slices.Contains(elements, "desc") {
		t.Errorf("%d rectangles for %d blanks and the trim", rects, len(l.Blanks))
	}
	for _, want := range []string{`Cuts of board A <"&'`, "1/1", "1/2", "spare", "offcut 1843", "strip 9 mm", "0 mm", "28 blanks in 10 rows of 3, 4 of them spare"} {
		if !strings.Contains(text, want) {
			t.Errorf("the drawing does not say %q:\n%s", want, text)
		}
	}
	all := SVG(design.Layouts(s), s)
	if again := SVG(design.Layouts(s), s); again != all {
		t.Error("two drawings of one study differ")
	}
	if elements, text := parse(t, all); !strings.Contains(text, "an invented study: cuts") || len(elements) < 2*rects {
		t.Errorf("the boards are not all drawn: %s", text)
	}
	s.Wood.Boards[0].Size.Length = 0.300
	parse(t, SVG(design.Layouts(s), s)) // a board that is too short
}
