// Package screen sets text for a terminal: words in columns and in lines, and
// how far a long work is. What the words say is not its business.
package screen

import (
	"strings"
	"unicode/utf8"
)

// A Table lines up words in columns, two spaces apart, with no space at the ends
// of lines. The zero Table has no headings and sets every column to the left.
//
// What ends a row runs on without widening its column, and a row that is shorter
// than its neighbours ends the column above it: below, it begins anew with a
// width of its own.
type Table struct {
	Indent string // before every row

	right []bool
	rows  [][]string
}

// NewTable begins a table with a row of headings. A heading that starts with ">"
// sets its column to the right; that sign is not printed.
func NewTable(headings ...string) *Table {
	t := &Table{right: make([]bool, len(headings))}
	row := make([]string, len(headings))
	for i, h := range headings {
		t.right[i] = strings.HasPrefix(h, ">")
		row[i] = strings.TrimPrefix(h, ">")
	}
	t.Row(row...)
	return t
}

// Row adds a row.
func (t *Table) Row(cells ...string) {
	row := make([]string, len(cells))
	for i, cell := range cells {
		row[i] = Line(cell)
	}
	t.rows = append(t.rows, row)
}

// String sets the table, a line a row.
func (t *Table) String() string {
	widths := t.widths()
	var out strings.Builder
	for i, row := range t.rows {
		line := t.Indent
		for column, cell := range row {
			line += padded(cell, widths[i][column], t.toRight(column)) + "  "
		}
		out.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return out.String()
}

func (t *Table) toRight(column int) bool { return column < len(t.right) && t.right[column] }

// inColumn reports whether a row has a cell that its column is as wide as.
func (t *Table) inColumn(row, column int) bool {
	last := len(t.rows[row]) - 1
	return column < last || column == last && t.toRight(column)
}

// widths is how wide every cell of every row is set.
func (t *Table) widths() [][]int {
	widths, most := make([][]int, len(t.rows)), 0
	for i, row := range t.rows {
		widths[i] = make([]int, len(row))
		most = max(most, len(row))
	}
	for column := range most {
		for from := 0; from < len(t.rows); {
			to, width := from, 0
			for ; to < len(t.rows) && t.inColumn(to, column); to++ {
				width = max(width, utf8.RuneCountInString(t.rows[to][column]))
			}
			for i := from; i < to; i++ {
				widths[i][column] = width
			}
			from = max(to, from+1)
		}
	}
	return widths
}

// padded fills a cell with spaces; one that is wider stays as it is.
func padded(cell string, width int, right bool) string {
	space := strings.Repeat(" ", max(0, width-utf8.RuneCountInString(cell)))
	if right {
		return space + cell
	}
	return cell + space
}
