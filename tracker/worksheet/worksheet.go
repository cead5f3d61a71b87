// Package worksheet makes the sheets to work by: the specimens of a stage in the
// order to do them with boxes to fill in, drawings of the cuts, and what there is
// to mind, on paper and on cards.
//
// A worksheet is no sticker: it knows the study. The same sheet gives the same
// bytes.
package worksheet

import (
	"errors"
	"fmt"
	"io"
	"time"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/tracker/quantity"
)

// A Sheet is a page to work by with a pencil: the specimens in the order
// they are to be done, with boxes to fill in.
type Sheet struct {
	Title   string // the study's
	Stage   string
	Rows    []Row
	Boxes   []string // headings of the boxes, such as "time", "reading"
	Caution string   // empty: the stage's usual one
	Page    string   // "a4" when empty, or "letter"; Of takes that of the study
	Date    time.Time
	Units   quantity.System
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

// Write writes the worksheet as PDF, as many pages as it needs,
// upright or, where the boxes need it, across. The same worksheet gives the same
// bytes. It is an error to have no rows, or more boxes than fit.
func Write(w io.Writer, ws Sheet) error {
	if len(ws.Rows) == 0 {
		return errors.New("nothing to print: the worksheet has no specimens")
	}
	if len(ws.Boxes) > mostBoxes {
		return fmt.Errorf("%d boxes do not fit on a worksheet: want at most %d", len(ws.Boxes), mostBoxes)
	}
	width, height, err := ws.pageSize()
	if err != nil {
		return err
	}
	p, err := newPaper(width, height, ws)
	if err != nil {
		return err
	}
	if ws.Caution == "" && len(ws.Cuts) > 0 {
		ws.Caution = cutCaution(ws.Units)
	}
	if err := p.cuts(ws); err != nil {
		return err
	}
	p.Page()
	columns := p.columns(ws)
	if fixed(columns)+leastBox*float64(len(ws.Boxes)) > width-2*sheetMargin {
		if p, err = newPaper(height, width, ws); err != nil { // across
			return err
		}
		if err := p.cuts(ws); err != nil {
			return err
		}
		p.Page()
	}
	if err := p.worksheet(ws, columns); err != nil {
		return err
	}
	return p.Write(w)
}

// A paper is what worksheets are drawn on.
type paper struct{ *sheet.Paper }

func newPaper(width, height float64, ws Sheet) (paper, error) {
	p, err := sheet.NewPaper(width, height, ws.Title, ws.Date)
	if err != nil {
		return paper{}, err
	}
	p.Ruler = Ruler(ws.Units)
	return paper{p}, nil
}

// Ruler is what people who think in a system measure paper with.
func Ruler(u quantity.System) sheet.Ruler {
	if u == quantity.Inch {
		return sheet.Inches
	}
	return sheet.Millimetres
}

func (ws Sheet) pageSize() (width, height float64, err error) {
	switch ws.Page {
	case "", "a4":
		return 210, 297, nil
	case "letter":
		return 215.9, 279.4, nil
	}
	return 0, 0, fmt.Errorf("page %q for a worksheet: want a4 or letter", ws.Page)
}

// A column of a worksheet: text of each row, or a box when of is nil.
type column struct {
	head  string
	width float64
	of    func(Row) string
}

// columns are the filled ones, each as wide as its widest text.
func (p paper) columns(ws Sheet) []column {
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
		c.width = p.TextWidth(sheet.Bold, 1.9, c.head)
		for _, r := range ws.Rows {
			empty = empty && c.of(r) == ""
			c.width = max(c.width, p.TextWidth(sheet.Bold, rowCaps, c.of(r)))
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
func (p paper) worksheet(ws Sheet, columns []column) error {
	box := (p.Width - 2*sheetMargin - fixed(columns)) / float64(max(len(ws.Boxes), 1))
	if len(ws.Boxes) > 0 && box < leastBox {
		return fmt.Errorf("%d boxes leave %.0f mm each on the worksheet: want at least %.0f mm; ask for fewer", len(ws.Boxes), box, leastBox)
	}
	for _, head := range ws.Boxes {
		columns = append(columns, column{head: head, width: box})
	}
	if ws.Caution == "" {
		ws.Caution = Caution(ws.Stage, ws.Units)
	}
	top := p.head(ws)
	perPage := int((p.Height - top - rowHeight - 18) / rowHeight)
	if perPage < 1 {
		return fmt.Errorf("a caution of %d characters leaves no room for rows on the worksheet", len(ws.Caution))
	}
	pages := (len(ws.Rows) + perPage - 1) / perPage
	for page := range pages {
		if page > 0 {
			p.Page()
			p.head(ws)
		}
		rows := ws.Rows[page*perPage : min((page+1)*perPage, len(ws.Rows))]
		p.table(columns, rows, top)
		p.ScaleBar(sheetMargin, p.Width-sheetMargin, p.Height-9, fmt.Sprintf("soaktag · %s · page %d of %d", ws.Stage, page+1, pages))
	}
	return p.Err()
}

// head writes stage, title, lines for date and name, and the caution in a
// frame; it returns where the table begins.
func (p paper) head(ws Sheet) float64 {
	x, w := sheetMargin, p.Width-2*sheetMargin
	caps := p.Heading(6, w*0.5, ws.Stage)
	p.Text(sheet.Bold, caps, x, sheetMargin+6, ws.Stage)
	p.Text(sheet.Regular, 2.4, x+w*0.54, sheetMargin+6, "date")
	p.Line(x+w*0.60, sheetMargin+6.5, x+w*0.77, sheetMargin+6.5, 0.25)
	p.Text(sheet.Regular, 2.4, x+w*0.79, sheetMargin+6, "who")
	p.Line(x+w*0.85, sheetMargin+6.5, x+w, sheetMargin+6.5, 0.25)
	p.Text(sheet.Regular, p.Heading(2.6, w, ws.Title), x, sheetMargin+12, ws.Title)
	lines := p.Wrap(sheet.Regular, 2, w-6, ws.Caution)
	h := 4 + 2*sheet.Leading*float64(len(lines))
	p.Frame(x, sheetMargin+15, w, h, 0.5, 0)
	for i, line := range lines {
		p.Text(sheet.Regular, 2, x+3, sheetMargin+18+2*sheet.Leading*float64(i)+1.2, line)
	}
	return sheetMargin + 15 + h + 4
}

// table draws headings, rows and rules.
func (p paper) table(columns []column, rows []Row, top float64) {
	x := sheetMargin
	bottom := top + rowHeight*float64(len(rows)+1)
	for _, c := range columns {
		p.Line(x, top, x, bottom, 0.2)
		p.Text(sheet.Bold, p.Heading(1.9, c.width-3, c.head), x+1.5, top+rowHeight-2.5, c.head)
		for i, r := range rows {
			if c.of != nil {
				text := c.of(r)
				p.Text(sheet.Bold, p.Heading(rowCaps, c.width-3, text), x+1.5, top+rowHeight*float64(i+2)-3.2, text)
			}
		}
		x += c.width
	}
	p.Line(x, top, x, bottom, 0.2)
	for i := range len(rows) + 2 {
		y := top + rowHeight*float64(i)
		p.Line(sheetMargin, y, x, y, 0.2)
	}
}
