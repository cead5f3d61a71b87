package worksheet

import (
	"bytes"
	"fmt"
	"image"
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/labels/sheet/sheettest"
	"soaktag/tracker/quantity"
)

// cutMap lays n blanks of 48 x 45 mm, the last spare ones, on a board 150 mm wide.
func cutMap(n, spare int) CutMap {
	m := CutMap{Board: "A", Words: "so many blanks", Length: 6000, Width: 150, Trim: 50, Kerf: 3, BlankLength: 48, BlankWidth: 45}
	codes := labels.Deal("HBR", n)
	for i := range n {
		b := CutBlank{Row: i/3 + 1, X: 50 + float64(i/3)*51, Y: float64(i%3) * 48}
		if i < n-spare {
			b.Code = codes[i/2]
			b.Code.Half = i%2 + 1
		}
		m.Blanks = append(m.Blanks, b)
	}
	m.Used = m.start(m.lastRow()) + m.BlankLength
	return m
}

func cutSheet(maps ...CutMap) Sheet {
	return Sheet{Title: "an invented study", Stage: "cut", Rows: rows(3), Boxes: []string{"time"}, Cuts: maps}
}

func TestCuts(t *testing.T) {
	m := cutMap(28, 4)
	m.Notes = []string{"mind the knot"}
	other := cutMap(6, 0)
	other.Board = "Esche 2"
	got := sheettest.Words(t, worksheet(t, cutSheet(m, other)))
	for _, want := range []string{"board A", "board Esche 2", "so many blanks", "mind the knot", "HBR-001-2", "HBR-012-T", "spare", "trim", "offcut",
		"98", "149", "557", "141", "drawn 1 : 3", "board A, 1 of 2", "50 mm", "PLANING: Short or thin stock", "CUT: Guard and riving knife", "usual cautions only", "page 1 of 1"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not printed", want)
		}
	}
	if n := strings.Count(got, "spare"); n < 4 {
		t.Errorf("%d spare blanks are marked, want 4", n)
	}
	m.Units = quantity.Inch
	if got := sheettest.Words(t, worksheet(t, cutSheet(m))); !strings.Contains(got, "3 27/32") || !strings.Contains(got, "1/8 in") {
		t.Error("98 mm is 3 27/32 in, and the kerf 1/8 in, to a 32nd")
	}
}

// TestCutsKeepScale: on the page, the far sides of the first row and the last
// are as far apart as the scale says.
func TestCutsKeepScale(t *testing.T) {
	sheettest.Need(t, "pdftoppm")
	page := sheettest.Render(t, worksheet(t, cutSheet(cutMap(27, 0))), 254, 1)[0] // 10 pixels a mm
	if size := page.Rect; abs(size.Dx()-2970) > 2 || abs(size.Dy()-2100) > 2 {
		t.Fatalf("page %v, want A4 across", size)
	}
	// Ticks of the measures stand below the strip, one at the trim and one a row.
	ticks, row := 0, tickRow(page)
	if row < 0 {
		t.Fatal("no ticks found")
	}
	var at []int
	for x := 1; x < page.Rect.Dx(); x++ {
		if dark(page, x, row) && !dark(page, x-1, row) {
			ticks++
			at = append(at, x)
		}
	}
	if ticks != 10 || abs(at[9]-at[1]-10*8*51/3) > 3 {
		t.Errorf("%d ticks at %v, want 10, the last nine %d apart", ticks, at, 10*8*51/3)
	}
}

// tickRow is the row of pixels between a strip and its measures: below the last
// long black line of the upper part of the page.
func tickRow(page *image.Gray) int {
	found := -1
	for y := 0; y < page.Rect.Dy()*3/4; y++ {
		run := 0
		for x := range page.Rect.Dx() {
			if dark(page, x, y) {
				run++
			}
		}
		if run > page.Rect.Dx()/2 {
			found = y
		}
	}
	if found < 0 {
		return -1
	}
	return found + 9
}

// TestCutsTurnOverIntoStrips: what is longer than the page goes on below, and
// every blank is drawn once.
func TestCutsTurnOverIntoStrips(t *testing.T) {
	for _, n := range []int{1, 3, 28, 100, 300, 345} {
		m := cutMap(n, 0)
		plan, ok := m.fit(250, 120)
		if !ok {
			t.Fatalf("%d blanks do not fit", n)
		}
		next := 1
		for _, s := range plan.strips(m) {
			if s.from != next || s.to < s.from {
				t.Errorf("%d blanks: strip %+v, want it to begin at %d", n, s, next)
			}
			if width := (m.start(s.to) + m.BlankLength - m.start(s.from)) / plan.scale; width > 250 {
				t.Errorf("%d blanks: a strip of %.0f mm", n, width)
			}
			next = s.to + 1
		}
		if next != m.lastRow()+1 {
			t.Errorf("%d blanks: the strips end at row %d of %d", n, next-1, m.lastRow())
		}
		got := sheettest.Words(t, worksheet(t, cutSheet(m)))
		if last := m.Blanks[n-1].Code; !strings.Contains(got, last.Whole().String()) && !strings.Contains(got, fmt.Sprintf("%d/%d", last.Serial, last.Half)) {
			t.Errorf("%d blanks: %s is not drawn", n, last)
		}
	}
}

func TestCutsRefuse(t *testing.T) {
	for what, m := range map[string]CutMap{"no size": {Board: "A"}, "no blanks": {Board: "A", Length: 1000, Width: 100, BlankLength: 40, BlankWidth: 40},
		"too large": {Board: "A", Length: 1e6, Width: 1e6, BlankLength: 1e6, BlankWidth: 40, Blanks: []CutBlank{{Row: 1}}}} {
		var b bytes.Buffer
		if err := Write(&b, cutSheet(m)); err == nil || b.Len() > 0 {
			t.Errorf("%s: no error", what)
		}
	}
}

// TestCutsTakeAnyText: names of boards are the person's own.
func TestCutsTakeAnyText(t *testing.T) {
	for _, text := range []string{"", "\x00\xff", "漢字 \U0001F600", strings.Repeat("long ", 60), strings.Repeat("x", 300)} {
		m := cutMap(7, 1)
		m.Board, m.Words, m.Notes = text, text, []string{text}
		if err := Write(&bytes.Buffer{}, cutSheet(m)); err != nil {
			t.Errorf("%.20q: %v", text, err)
		}
	}
}

func dark(page *image.Gray, x, y int) bool { return page.GrayAt(x, y).Y < 128 }
