package design

import (
	"fmt"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Layout is how the blanks lie on one board: the cutting map that a record of
// sampling keeps. Lengths run along the grain from the end that is cut first,
// which loses the trim; widths from one edge, which loses nothing.
type Layout struct {
	Board        string
	Size, Blank  tracker.Box
	Kerf, Trim   quantity.Length
	Rows, Across int
	Blanks       []Blank
	Used         quantity.Length // of the board, trim included; as Cut.Length
	Offcut       quantity.Length // left of its length
	Strip        quantity.Length // left of its width, beside the blanks
	Short        int             // blanks wanted that the board does not give
	Units        quantity.System // of the words and the ruler of its drawing
}

// A Blank is one piece to cut. Rows and columns count from 1, rows along the
// grain.
type Blank struct {
	Row, Column int
	X, Y        quantity.Length // its corner nearest to the first cut and the first edge
	Code        labels.Code     // with its half; the zero Code is a spare
}

// Spare reports whether a blank is cut beside those needed.
func (b Blank) Spare() bool { return b.Code == labels.Code{} }

// Layouts returns the cutting map of every board whose size, and the blank's,
// the plan gives, in the order of the plan. Specimens are cut in the order of
// their serials, half 1 and half 2 one after the other, the spare last; the two
// places of a solid one are one piece (see CutList).
func Layouts(s *tracker.Study) []Layout {
	codes := codesByBoard(s)
	var list []Layout
	for b, c := range CutList(s) {
		if c.Across == 0 || c.Of == 0 {
			continue
		}
		l := Layout{
			Board: c.Board, Size: s.Wood.Boards[b].Size, Blank: s.Specimen.Blank, Kerf: s.Wood.Kerf, Trim: Trim,
			Across: c.Across, Used: c.Length, Offcut: max(0, c.Of-c.Length), Short: max(0, c.Blanks-c.Fits),
			Units: s.Units,
		}
		l.Strip = l.Size.Width - span(l.Across, l.Blank.Width, l.Kerf)
		l.lay(min(c.Blanks, c.Fits), codes[c.Board])
		list = append(list, l)
	}
	return list
}

// codesByBoard lists the codes of the halves to cut from each board.
func codesByBoard(s *tracker.Study) map[string][]labels.Code {
	codes := map[string][]labels.Code{}
	for _, specimen := range Allocate(s) {
		for half := 1; half <= BlanksPerSpecimen; half++ {
			code := specimen.Code
			code.Half = half
			codes[specimen.Board] = append(codes[specimen.Board], code)
		}
	}
	return codes
}

// span is the length of n pieces with the saw cuts between them.
func span(n int, piece, kerf quantity.Length) quantity.Length {
	return quantity.Length(n)*piece + quantity.Length(max(0, n-1))*kerf
}

// lay puts n blanks down row by row.
func (l *Layout) lay(n int, codes []labels.Code) {
	for i := range n {
		row, column := i/l.Across, i%l.Across
		b := Blank{
			Row: row + 1, Column: column + 1,
			X: l.Trim + quantity.Length(row)*(l.Blank.Length+l.Kerf),
			Y: quantity.Length(column) * (l.Blank.Width + l.Kerf),
		}
		if i < len(codes) {
			b.Code = codes[i]
		}
		l.Blanks, l.Rows = append(l.Blanks, b), row+1
	}
}

// String says the layout in words: "board A: 28 blanks in 10 rows of 3, 4 of
// them spare; 557 of 2400 mm needed, offcut 1843 mm, strip 9 mm".
func (l Layout) String() string {
	spare := 0
	for _, b := range l.Blanks {
		if b.Spare() {
			spare++
		}
	}
	text := fmt.Sprintf("board %s: %d blanks in %d rows of %d, %d of them spare; %s of %s needed, offcut %s, strip %s",
		l.Board, len(l.Blanks), l.Rows, l.Across, spare, l.Units.CutNumber(l.Used), l.Units.Cut(l.Size.Length), l.Units.Cut(l.Offcut), l.Units.Cut(l.Strip))
	if l.Short > 0 {
		text += fmt.Sprintf("; %d blanks short", l.Short)
	}
	return text
}
