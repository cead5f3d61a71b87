package worksheet

import (
	"bytes"
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/labels/sheet/sheettest"
)

func rows(n int) []Row {
	var out []Row
	for i, c := range labels.Deal("HBR", n) {
		out = append(out, Row{Order: i + 1, Code: c, Board: "A", Bath: "B2"})
	}
	return out
}

func worksheet(t *testing.T, sheet Sheet) []byte {
	t.Helper()
	var b, again bytes.Buffer
	if err := Write(&b, sheet); err != nil {
		t.Fatal(err)
	}
	if err := Write(&again, sheet); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
		t.Fatalf("the same worksheet gave other bytes, %v", err)
	}
	return b.Bytes()
}

func TestWorksheet(t *testing.T) {
	sheet := Sheet{Title: "an invented study", Stage: "break", Rows: rows(60), Boxes: []string{"time", "reading", "ended", "wood failure %"}}
	got := sheettest.Words(t, worksheet(t, sheet))
	for _, want := range []string{"break", "an invented study", "HBR-001-2", sheet.Rows[59].Code.String(), "wood failure %", "board", "B2", "Pieces and tools fly", "page 3 of 3", "50 mm"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not printed", want)
		}
	}
	if strings.Contains(got, "adhesive") {
		t.Error("a blind worksheet has a column for the adhesive")
	}
	sheet.Rows[0].Adhesive, sheet.Page, sheet.Caution = "casein", "letter", "mind the step"
	got = sheettest.Words(t, worksheet(t, sheet))
	for _, want := range []string{"adhesive", "casein", "mind the step"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not printed", want)
		}
	}
}

// Many boxes turn the page across; the pages are as large as they should be.
func TestWorksheetTurns(t *testing.T) {
	sheettest.Need(t, "pdftoppm")
	sheet := Sheet{Stage: "lift-out", Rows: rows(3), Boxes: strings.Fields("time mass whole slime smell room water note")}
	for boxes, want := range map[int][2]int{3: {827, 1169}, 8: {1169, 827}} {
		s := sheet
		s.Boxes = sheet.Boxes[:boxes]
		if boxes == 8 {
			s.Boxes = append(s.Boxes, "one", "two")
		}
		size := sheettest.Render(t, worksheet(t, s), 100, 1)[0].Rect
		if abs(size.Dx()-want[0]) > 1 || abs(size.Dy()-want[1]) > 1 {
			t.Errorf("%d boxes: page %v, want %v pixels", boxes, size, want)
		}
	}
}

// TestHeadings: what is under a heading is a row, the heading is none, and none
// stands last on a page.
func TestHeadings(t *testing.T) {
	list := rows(8)
	list = append(append([]Row{{Heading: "lot one"}}, list[:4]...), append([]Row{{Heading: "lot two"}}, list[4:]...)...)
	pages := pagesOf(list, 6)
	if len(pages) != 2 || len(pages[0]) != 5 || pages[1][0].Heading != "lot two" {
		t.Errorf("%d pages, the first of %d rows", len(pages), len(pages[0]))
	}
	got := sheettest.Words(t, worksheet(t, Sheet{Stage: "immersion", Rows: list}))
	for _, want := range []string{"lot one", "lot two"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not printed", want)
		}
	}
	if err := Write(&bytes.Buffer{}, Sheet{Stage: "immersion", Rows: []Row{{Heading: "nobody"}}}); err == nil {
		t.Error("a sheet of headings is printed")
	}
}

func TestWorksheetRefuses(t *testing.T) {
	for want, sheet := range map[string]Sheet{
		"no specimens":   {Stage: "cut"},
		"13 boxes":       {Rows: rows(1), Boxes: make([]string, 13)},
		"a4 or letter":   {Rows: rows(1), Page: "b5"},
		"leaves no room": {Rows: rows(1), Caution: strings.Repeat("mind the step ", 1000)},
		"ask for fewer":  {Rows: []Row{{Order: 1, Code: labels.New("HBR", 1), Adhesive: strings.Repeat("w", 80), Board: strings.Repeat("w", 80), Bath: strings.Repeat("w", 80)}}, Boxes: make([]string, 12)},
	} {
		var b bytes.Buffer
		if err := Write(&b, sheet); err == nil || !strings.Contains(err.Error(), want) || b.Len() > 0 {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

func TestWorksheetTakesAnyText(t *testing.T) {
	for _, text := range []string{"", "\x00\xff", "漢字 \U0001F600", strings.Repeat("long ", 200), strings.Repeat("x", 500)} {
		sheet := Sheet{Title: text, Stage: text, Caution: text, Name: text, Facts: []string{text}, Rows: []Row{{1, labels.New("HBR", 1), text, text, text, text, text, text, text, ""}, {Heading: text}}, Boxes: []string{text}}
		if err := Write(&bytes.Buffer{}, sheet); err != nil {
			t.Errorf("%.20q: %v", text, err)
		}
	}
}

func abs(n int) int { return max(n, -n) }
