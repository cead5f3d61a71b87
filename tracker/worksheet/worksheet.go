// Package worksheet makes the sheets to work by: the specimens of a stage in the
// order to do them with boxes to fill in, drawings of the cuts, and what there is
// to mind, on paper and on cards.
//
// A worksheet is no sticker: it knows the study. The same sheet gives the same
// bytes.
package worksheet

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
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
	Name    string   // its heading, where it is not the stage alone
	Sitting int      // of the glue-up, from 1; 0 where it is not one of several
	Facts   []string // what is to be known of it, a line each
	Rows    []Row
	Boxes   []string // headings of the boxes, such as "time", "reading"
	Caution string   // empty: the stage's usual one
	Page    string   // "a4" when empty, or "letter"; Of takes that of the study
	Date    time.Time
	Head    string // of the log as it was then, for verify --against; empty: not printed
	Units   quantity.System
	Cuts    []CutMap // drawn before the rows, a page each
}

// A Row is one specimen. A column that is empty in every row is left out, so a
// blind worksheet simply has no Adhesive.
type Row struct {
	Order                 int
	Code                  labels.Code
	Adhesive, Board, Bath string
	Clamp, Force          string // of a glue-up: which clamp, and how hard
	Mix, Lasts            string // of the bond for which a batch is begun

	Heading string // of the rows below it, in place of a specimen; else empty
}

// Limits of a worksheet: what a pencil can still fill in, mm.
const (
	rowHeight   = 9.5
	rowCaps     = 2.6
	leastBox    = 14.0
	mostBoxes   = 12
	sheetMargin = 12.0
)

// Write writes worksheets as PDF, each on as many pages as it needs, upright or,
// where the boxes of one need it, across. Title, date, page and units are those of
// the first. The same worksheets give the same bytes. It is an error to have no
// rows, or more boxes than fit.
func Write(w io.Writer, sheets ...Sheet) error {
	if len(sheets) == 0 {
		sheets = []Sheet{{}}
	}
	for _, ws := range sheets {
		if err := ws.check(); err != nil {
			return err
		}
	}
	width, height, err := sheets[0].pageSize()
	if err != nil {
		return err
	}
	p, err := newPaper(width, height, sheets[0])
	if err != nil {
		return err
	}
	if p.narrow(sheets) {
		if p, err = newPaper(height, width, sheets[0]); err != nil {
			return err
		}
	}
	for _, ws := range sheets {
		if err := p.sheet(ws); err != nil {
			return err
		}
	}
	return p.Write(w)
}

func (ws Sheet) check() error {
	switch {
	case len(ws.Rows) == ws.headings():
		return errors.New("nothing to print: the worksheet has no specimens")
	case len(ws.Boxes) > mostBoxes:
		return fmt.Errorf("%d boxes do not fit on a worksheet: want at most %d", len(ws.Boxes), mostBoxes)
	}
	return nil
}

// headings counts the rows that are headings.
func (ws Sheet) headings() (n int) {
	for _, r := range ws.Rows {
		if r.Heading != "" {
			n++
		}
	}
	return n
}

// narrow reports whether the page is too narrow for the boxes of some sheet.
func (p paper) narrow(sheets []Sheet) bool {
	return slices.ContainsFunc(sheets, func(ws Sheet) bool {
		return fixed(p.columns(ws))+leastBox*float64(len(ws.Boxes)) > p.Width-2*sheetMargin
	})
}

// sheet draws the cuts of a sheet, a page each, and then its rows.
func (p paper) sheet(ws Sheet) error {
	if ws.Caution == "" && len(ws.Cuts) > 0 {
		ws.Caution = cutCaution(ws.Units)
	}
	if err := p.cuts(ws); err != nil {
		return err
	}
	p.Page()
	return p.worksheet(ws, p.columns(ws))
}

// name is what stands over a sheet.
func (ws Sheet) name() string { return cmp.Or(ws.Name, ws.Stage) }

// stood says where the log stood when a sheet was printed.
func (ws Sheet) stood() string {
	if ws.Head == "" {
		return ""
	}
	return " · log head " + ws.Head
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
		{"mix", 0, func(r Row) string { return r.Mix }},
		{"lasts", 0, func(r Row) string { return r.Lasts }},
		{"clamp", 0, func(r Row) string { return r.Clamp }},
		{"force", 0, func(r Row) string { return r.Force }},
	}
	var used []column
	for _, c := range all {
		empty := true
		c.width = p.TextWidth(sheet.Bold, 1.9, c.head)
		for _, r := range ws.Rows {
			if r.Heading != "" {
				continue
			}
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

// mostSqueezed is how much narrower columns get, whose letters shrink with them.
const mostSqueezed = 0.6

// squeeze makes columns that are too wide together narrower, as far as they can
// still be read.
func squeeze(columns []column, room float64) {
	share := room / fixed(columns)
	if share >= 1 || share < mostSqueezed {
		return
	}
	for i := range columns {
		columns[i].width *= share
	}
}

// worksheet draws all pages.
func (p paper) worksheet(ws Sheet, columns []column) error {
	squeeze(columns, p.Width-2*sheetMargin-leastBox*float64(len(ws.Boxes)))
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
	pages := pagesOf(ws.Rows, perPage)
	for page, rows := range pages {
		if page > 0 {
			p.Page()
			p.head(ws)
		}
		p.table(columns, rows, top)
		p.ScaleBar(sheetMargin, p.Width-sheetMargin, p.Height-9, fmt.Sprintf("soaktag · %s · page %d of %d%s", ws.name(), page+1, len(pages), ws.stood()))
	}
	return p.Err()
}

// pagesOf divides rows into pages. No heading stands last on a page.
func pagesOf(rows []Row, most int) (pages [][]Row) {
	for len(rows) > 0 {
		n := min(most, len(rows))
		if n > 1 && n < len(rows) && rows[n-1].Heading != "" {
			n--
		}
		pages, rows = append(pages, rows[:n]), rows[n:]
	}
	return pages
}

// head writes stage, title, lines for date and name, and the caution in a
// frame; it returns where the table begins.
func (p paper) head(ws Sheet) float64 {
	x, w := sheetMargin, p.Width-2*sheetMargin
	caps := p.Heading(6, w*0.5, ws.name())
	p.Text(sheet.Bold, caps, x, sheetMargin+6, ws.name())
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
	return p.facts(ws, sheetMargin+15+h+4)
}

// The capitals of what is to be known of a sheet, mm.
const factCaps = 2.6

// facts writes what is to be known of a sheet below each other, and returns where
// they end.
func (p paper) facts(ws Sheet, y float64) float64 {
	for _, fact := range ws.Facts {
		for _, line := range p.Wrap(sheet.Regular, factCaps, p.Width-2*sheetMargin, fact) {
			p.Text(sheet.Regular, factCaps, sheetMargin, y+factCaps, line)
			y += factCaps * sheet.Leading
		}
	}
	if len(ws.Facts) > 0 {
		y += 2
	}
	return y
}
