package sheet

import (
	"errors"
	"fmt"
	"io"
	"time"

	"soaktag/labels"
)

// A Worksheet is a page to work by with a pencil: the specimens in the order
// they are to be done, with boxes to fill in.
type Worksheet struct {
	Title   string // the study's
	Stage   string
	Rows    []Row
	Boxes   []string // headings of the boxes, such as "time", "reading"
	Caution string   // empty: the stage's usual one
	Page    string   // "a4" when empty, or "letter"
	Date    time.Time
	Cuts    []CutMap // drawn before the rows, a page each
}

// A Row is one specimen. A column that is empty in every row is left out, so a
// blind worksheet simply has no Adhesive.
type Row struct {
	Order                 int
	Code                  labels.Code
	Adhesive, Board, Bath string
}

// Limits of a worksheet: what a pencil can still fill in, mm.
const (
	rowHeight   = 9.5
	rowCaps     = 2.6
	leastBox    = 14.0
	mostBoxes   = 12
	sheetMargin = 12.0
)

// WriteWorksheet writes the worksheet as PDF, as many pages as it needs,
// upright or, where the boxes need it, across. The same worksheet gives the same
// bytes. It is an error to have no rows, or more boxes than fit.
func WriteWorksheet(w io.Writer, sheet Worksheet) error {
	if len(sheet.Rows) == 0 {
		return errors.New("nothing to print: the worksheet has no specimens")
	}
	if len(sheet.Boxes) > mostBoxes {
		return fmt.Errorf("%d boxes do not fit on a worksheet: want at most %d", len(sheet.Boxes), mostBoxes)
	}
	width, height, err := sheet.pageSize()
	if err != nil {
		return err
	}
	p, err := newPaper(width, height, sheet.Title, sheet.Date)
	if err != nil {
		return err
	}
	if sheet.Caution == "" && len(sheet.Cuts) > 0 {
		sheet.Caution = cutCaution()
	}
	if err := p.cuts(sheet); err != nil {
		return err
	}
	p.page()
	columns := p.columns(sheet)
	if fixed(columns)+leastBox*float64(len(sheet.Boxes)) > width-2*sheetMargin {
		if p, err = newPaper(height, width, sheet.Title, sheet.Date); err != nil { // across
			return err
		}
		if err := p.cuts(sheet); err != nil {
			return err
		}
		p.page()
	}
	if err := p.worksheet(sheet, columns); err != nil {
		return err
	}
	return p.write(w)
}

func (sheet Worksheet) pageSize() (width, height float64, err error) {
	switch sheet.Page {
	case "", "a4":
		return 210, 297, nil
	case "letter":
		return 215.9, 279.4, nil
	}
	return 0, 0, fmt.Errorf("page %q for a worksheet: want a4 or letter", sheet.Page)
}

// A column of a worksheet: text of each row, or a box when of is nil.
type column struct {
	head  string
	width float64
	of    func(Row) string
}

// columns are the filled ones, each as wide as its widest text.
func (p *paper) columns(sheet Worksheet) []column {
	all := []column{
		{"no.", 0, func(r Row) string { return fmt.Sprint(r.Order) }},
		{"specimen", 0, func(r Row) string { return r.Code.String() }},
		{"adhesive", 0, func(r Row) string { return r.Adhesive }},
		{"board", 0, func(r Row) string { return r.Board }},
		{"bath", 0, func(r Row) string { return r.Bath }},
	}
	var used []column
	for _, c := range all {
		empty := true
		c.width = p.textWidth(bold, 1.9, c.head)
		for _, r := range sheet.Rows {
			empty = empty && c.of(r) == ""
			c.width = max(c.width, p.textWidth(bold, rowCaps, c.of(r)))
		}
		if c.width = min(c.width+4, 50); !empty {
			used = append(used, c)
		}
	}
	return used
}

func fixed(columns []column) float64 {
	sum := 0.0
	for _, c := range columns {
		sum += c.width
	}
	return sum
}

// worksheet draws all pages.
func (p *paper) worksheet(sheet Worksheet, columns []column) error {
	box := (p.width - 2*sheetMargin - fixed(columns)) / float64(max(len(sheet.Boxes), 1))
	if len(sheet.Boxes) > 0 && box < leastBox {
		return fmt.Errorf("%d boxes leave %.0f mm each on the worksheet: want at least %.0f mm; ask for fewer", len(sheet.Boxes), box, leastBox)
	}
	for _, head := range sheet.Boxes {
		columns = append(columns, column{head: head, width: box})
	}
	if sheet.Caution == "" {
		sheet.Caution = Caution(sheet.Stage)
	}
	top := p.head(sheet)
	perPage := int((p.height - top - rowHeight - 18) / rowHeight)
	if perPage < 1 {
		return fmt.Errorf("a caution of %d characters leaves no room for rows on the worksheet", len(sheet.Caution))
	}
	pages := (len(sheet.Rows) + perPage - 1) / perPage
	for page := range pages {
		if page > 0 {
			p.page()
			p.head(sheet)
		}
		rows := sheet.Rows[page*perPage : min((page+1)*perPage, len(sheet.Rows))]
		p.table(columns, rows, top)
		p.scaleBar(sheetMargin, p.width-sheetMargin, p.height-9, fmt.Sprintf("soaktag · %s · page %d of %d", sheet.Stage, page+1, pages))
	}
	return p.err()
}

// head writes stage, title, lines for date and name, and the caution in a
// frame; it returns where the table begins.
func (p *paper) head(sheet Worksheet) float64 {
	x, w := sheetMargin, p.width-2*sheetMargin
	caps := p.heading(6, w*0.5, sheet.Stage)
	p.text(bold, caps, x, sheetMargin+6, sheet.Stage)
	p.text(regular, 2.4, x+w*0.54, sheetMargin+6, "date")
	p.line(x+w*0.60, sheetMargin+6.5, x+w*0.77, sheetMargin+6.5, 0.25)
	p.text(regular, 2.4, x+w*0.79, sheetMargin+6, "who")
	p.line(x+w*0.85, sheetMargin+6.5, x+w, sheetMargin+6.5, 0.25)
	p.text(regular, p.heading(2.6, w, sheet.Title), x, sheetMargin+12, sheet.Title)
	lines := p.wrap(regular, 2, w-6, sheet.Caution)
	h := 4 + 2*leading*float64(len(lines))
	p.frame(x, sheetMargin+15, w, h, 0.5, 0)
	for i, line := range lines {
		p.text(regular, 2, x+3, sheetMargin+18+2*leading*float64(i)+1.2, line)
	}
	return sheetMargin + 15 + h + 4
}

// table draws headings, rows and rules.
func (p *paper) table(columns []column, rows []Row, top float64) {
	x := sheetMargin
	bottom := top + rowHeight*float64(len(rows)+1)
	for _, c := range columns {
		p.line(x, top, x, bottom, 0.2)
		p.text(bold, p.heading(1.9, c.width-3, c.head), x+1.5, top+rowHeight-2.5, c.head)
		for i, r := range rows {
			if c.of != nil {
				text := c.of(r)
				p.text(bold, p.heading(rowCaps, c.width-3, text), x+1.5, top+rowHeight*float64(i+2)-3.2, text)
			}
		}
		x += c.width
	}
	p.line(x, top, x, bottom, 0.2)
	for i := range len(rows) + 2 {
		y := top + rowHeight*float64(i)
		p.line(sheetMargin, y, x, y, 0.2)
	}
}
