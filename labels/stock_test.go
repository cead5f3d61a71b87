package labels

import (
	"math"
	"strings"
	"testing"
)

func TestParseStock(t *testing.T) {
	s, err := ParseStock("a4 3x9 63.5x29.6")
	if err != nil || s.Cells() != 27 || s.Roll() {
		t.Fatalf("%+v, %v", s, err)
	}
	near(t, "first", s.Cell(0), Rect{9.75, 15.3, 63.5, 29.6}) // (210-190.5)/2, (297-266.4)/2
	near(t, "last", s.Cell(26), Rect{136.75, 252.1, 63.5, 29.6})
	near(t, "next page", s.Cell(27), s.Cell(0))
	near(t, "negative", s.Cell(-3), s.Cell(0))

	s, err = ParseStock("Letter 3x10 66.7x25.4 gap 3.2x0")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "second", s.Cell(1), Rect{4.7 + 66.7 + 3.2, 12.7, 66.7, 25.4})

	s, err = ParseStock("a4 3x8 70x36 margin 0x4.5")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "with margin", s.Cell(3), Rect{0, 40.5, 70, 36})

	s, err = ParseStock("roll 50x25")
	if err != nil || !s.Roll() || s.Cells() != 1 {
		t.Fatalf("%+v, %v", s, err)
	}
	near(t, "roll", s.Cell(5), Rect{0, 0, 50, 25})
}

func near(t *testing.T, what string, got, want Rect) {
	t.Helper()
	d := math.Abs(got.X-want.X) + math.Abs(got.Y-want.Y) + math.Abs(got.Width-want.Width) + math.Abs(got.Height-want.Height)
	if !(d < 1e-9) {
		t.Errorf("%s: %+v, want %+v", what, got, want)
	}
}

func TestExampleStocks(t *testing.T) {
	small := false
	for _, text := range Stocks() {
		s, err := ParseStock(text)
		if err != nil || s.String() != text {
			t.Errorf("%q: %q, %v", text, s, err)
		}
		small = small || s.Roll() && s.Width <= 45 && s.Height <= 45
		for i := range s.Cells() {
			c := s.Cell(i)
			if c.X < -0.01 || c.Y < -0.01 || c.X+c.Width > s.PageWidth+0.01 || c.Y+c.Height > s.PageHeight+0.01 {
				t.Errorf("%s: label %d lies off the page: %+v", text, i, c)
			}
		}
	}
	if !small {
		t.Error("no stock fits a 45 mm block")
	}
}

func TestParseStockRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"": "want a page", "a4": "want a page", "a4 3x9": "want a page", "b9 3x9 20x20": "not known", "a4 3x9 63.5": "two lengths",
		"a4 0x9 20x20": "columns x rows", "a4 3.5x9 20x20": "columns x rows", "a4 4x9 63.5x29.6": "too wide", "a4 3x11 63.5x29.6": "28.6 mm too high",
		"a4 3x9 NaNx20": "two lengths", "a4 3x9 63.5x29.6 gap": "gap AxB", "a4 3x9 63.5x29.6 gap 1x1 gap 1x1": "gap AxB",
		"a4 3x9 63.5x29.6 margin 30x10": "10.5 mm too wide", "roll": "size of one label", "roll 50x25 gap 1x1": "size of one label", "roll 5x5": "at least 8 mm",
		"roll InfxInf": "two lengths", "a4 99999999999x9 1x1": "columns", "a4 3x9 -63.5x29.6": "two lengths", "a4 3x9 63.5x29.6 sideways 1x1": "gap AxB",
		"roll 50x25 " + strings.Repeat("x", 300): "too long",
	} {
		s, err := ParseStock(text)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseStock(%q) = %v, %v; want %q", text, s, err, want)
		}
	}
}

func FuzzParseStock(f *testing.F) {
	for _, seed := range append(Stocks(), "a4 3x8 70x36 margin 0x4.5", "210x297 1x1 100×100", "roll 1e9x1", "") {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseStock(text)
		if err != nil {
			return
		}
		again, err := ParseStock(s.String())
		if err != nil || again.Cell(s.Cells()-1) != s.Cell(s.Cells()-1) {
			t.Fatalf("%q: %+v, then %+v, %v", text, s, again, err)
		}
	})
}
