package design

import (
	"strings"
	"testing"
)

// TestBlanksPerBoard checks worked sums of a board 2400 x 150 mm, blanks 48 x 45
// mm, kerf 3 mm, 50 mm of trim (arithmetic of ours): 3 across, 46 rows, 138 a
// board; 24 blanks in 8 rows of 3 take 455 mm.
func TestBlanksPerBoard(t *testing.T) {
	s := loft(4, 4)
	s.Wood.Spare = 0
	c := CutList(s)[0]
	if c.Across != 3 || c.Fits != 138 || c.Blanks != 24 {
		t.Errorf("%+v", c)
	}
	near(t, "length, mm", c.Length.MM(), 455, 1e-9)
	l := Layouts(s)[0]
	if l.Rows != 8 || l.Across != 3 || len(l.Blanks) != 24 || l.Short != 0 {
		t.Fatalf("%s", l)
	}
	near(t, "offcut, mm", l.Offcut.MM(), 2400-455, 1e-9)
	near(t, "strip, mm", l.Strip.MM(), 150-141, 1e-9)
	last := l.Blanks[23]
	near(t, "end of the last blank, mm", (last.X + l.Blank.Length).MM(), 455, 1e-9)
	near(t, "edge of the last blank, mm", (last.Y + l.Blank.Width).MM(), 141, 1e-9)
}

// TestLayoutHoldsEveryHalf: over the boards every half of every specimen is cut
// once, from the board of its specimen, and the rest is the spare.
func TestLayoutHoldsEveryHalf(t *testing.T) {
	s := loft(4, 4)
	board := map[string]string{}
	for _, specimen := range Allocate(s) {
		board[specimen.Code.String()] = specimen.Board
	}
	cut, spare := 0, 0
	for _, l := range Layouts(s) {
		if l.Blanks[24].Row != 9 || l.Blanks[24].Column != 1 {
			t.Errorf("%s: %+v", l, l.Blanks[24])
		}
		for i, b := range l.Blanks {
			switch {
			case b.Spare():
				spare++
			case board[b.Code.Whole().String()] != l.Board || b.Code.Half != i%2+1:
				t.Errorf("%v lies on board %s", b.Code, l.Board)
			default:
				cut++
			}
		}
	}
	if cut != 96 || spare != 16 { // 15 % of 24, rounded up, on each of four boards
		t.Errorf("%d halves and %d spare", cut, spare)
	}
}

func TestShortBoard(t *testing.T) {
	s := loft(4, 4)
	s.Wood.Boards[0].Size.Length = 0.300
	l := Layouts(s)[0]
	if l.Short != 28-12 || len(l.Blanks) != 12 || l.Offcut != 0 || !strings.Contains(l.String(), "16 blanks short") {
		t.Errorf("%s", l)
	}
	if list := Layouts(loft(0, 4)); list != nil {
		t.Errorf("without boards: %v", list)
	}
}
