package labels

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Stock is the geometry of a sheet or roll of labels, named by its size
// only. All lengths are millimetres, from the top left corner of the page.
type Stock struct {
	Page                  string // "a4", "letter", "roll", or a size such as "210x297"
	PageWidth, PageHeight float64
	Columns, Rows         int
	Width, Height         float64 // of one label
	GapX, GapY            float64 // between labels
	Left, Top             float64 // margin to the first label
	centred               bool
}

// A Rect is a place on a page in millimetres from its top left corner.
type Rect struct{ X, Y, Width, Height float64 }

// Stocks returns example stocks: sheets that are sold in many places, and
// rolls, the smallest of which fit a block of 45 mm. The caller owns the slice.
func Stocks() []string {
	return []string{
		"a4 3x9 63.5x29.6",
		"a4 3x8 70x37",
		"a4 3x7 63.5x38.1 gap 2.5x0",
		"a4 4x10 48.5x25.4",
		"a4 5x13 38.1x21.2 gap 2.5x0",
		"letter 3x10 66.7x25.4 gap 3.2x0",
		"letter 4x15 44.5x16.9 gap 7.5x0",
		"roll 50x25",
		"roll 62x29",
		"roll 40x20",
		"roll 38x19",
	}
}

// pages are the sheets with a name, in millimetres.
var pages = [...]struct {
	name          string
	width, height float64
}{
	{"a4", 210, 297}, {"a5", 148, 210}, {"a6", 105, 148}, {"letter", 215.9, 279.4}, {"legal", 215.9, 355.6},
}

// Limits of what is taken for a stock: a label must hold a symbol, and a page
// must be one that a printer can take.
const (
	smallestLabel = 8.0
	largestPage   = 2000.0
	mostCells     = 2000
)

// ParseStock reads a stock: the page, columns x rows, and the size of a label
// in millimetres, then gaps and margin where there are any.
//
//	a4 3x9 63.5x29.6
//	letter 3x10 66.7x25.4 gap 3.2x0
//	a4 3x8 70x36 margin 0x4.5
//	roll 50x25
//
// A page may also be a size such as 210x297. Without a margin the labels are
// centred. Labels that do not fit on the page are an error that says by how much.
func ParseStock(text string) (Stock, error) {
	if len(text) > 200 {
		return Stock{}, stockError("of %d characters is too long", len(text))
	}
	words := strings.Fields(strings.ToLower(strings.ReplaceAll(text, "×", "x")))
	if len(words) > 0 && words[0] == "roll" {
		return parseRoll(words[1:])
	}
	if len(words) < 3 {
		return Stock{}, stockError("%q: want a page, columns x rows and the size of a label", text)
	}
	return parseSheet(words)
}

func stockError(format string, args ...any) error {
	return fmt.Errorf("stock "+format+`; try "a4 3x9 63.5x29.6", "letter 3x10 66.7x25.4 gap 3.2x0" or "roll 50x25"`, args...)
}

func parseRoll(words []string) (Stock, error) {
	if len(words) != 1 {
		return Stock{}, stockError("roll: want the size of one label and nothing else")
	}
	w, h, err := pair(words[0])
	if err != nil {
		return Stock{}, err
	}
	s := Stock{Page: "roll", PageWidth: w, PageHeight: h, Columns: 1, Rows: 1, Width: w, Height: h, centred: true}
	if err := s.Valid(); err != nil {
		return Stock{}, err
	}
	return s, nil
}

func parseSheet(words []string) (Stock, error) {
	s, err := page(words[0])
	if err != nil {
		return Stock{}, err
	}
	if s.Columns, s.Rows, err = counts(words[1]); err != nil {
		return Stock{}, err
	}
	if s.Width, s.Height, err = pair(words[2]); err != nil {
		return Stock{}, err
	}
	if err := s.options(words[3:]); err != nil {
		return Stock{}, err
	}
	if s.centred {
		s.Left, s.Top = (s.PageWidth-s.across())/2, (s.PageHeight-s.down())/2
	}
	if err := s.Valid(); err != nil {
		return Stock{}, err
	}
	return s, nil
}

func page(word string) (Stock, error) {
	for _, p := range pages {
		if p.name == word {
			return Stock{Page: p.name, PageWidth: p.width, PageHeight: p.height}, nil
		}
	}
	w, h, err := pair(word)
	if err != nil {
		return Stock{}, stockError("page %q is not known: want a4, a5, a6, letter, legal, roll, or a size in mm such as 210x297", word)
	}
	return Stock{Page: word, PageWidth: w, PageHeight: h}, nil
}

// options reads "gap GxG" and "margin LxT", each at most once.
func (s *Stock) options(words []string) error {
	s.centred = true
	seen := map[string]bool{}
	for ; len(words) > 0; words = words[2:] {
		name := words[0]
		if (name != "gap" && name != "margin") || seen[name] || len(words) < 2 {
			return stockError("%q: want gap AxB or margin AxB once each", name)
		}
		seen[name] = true
		a, b, err := pair(words[1])
		if err != nil {
			return err
		}
		if name == "gap" {
			s.GapX, s.GapY = a, b
		} else {
			s.Left, s.Top, s.centred = a, b, false
		}
	}
	return nil
}

func pair(word string) (a, b float64, err error) {
	x, y, ok := strings.Cut(strings.TrimSuffix(word, "mm"), "x")
	a, errA := strconv.ParseFloat(x, 64)
	b, errB := strconv.ParseFloat(y, 64)
	if !ok || errA != nil || errB != nil || !(a >= 0 && a <= largestPage) || !(b >= 0 && b <= largestPage) {
		return 0, 0, stockError("%q: want two lengths in mm such as 63.5x29.6", word)
	}
	return a, b, nil
}

func counts(word string) (columns, rows int, err error) {
	x, y, ok := strings.Cut(word, "x")
	columns, errX := strconv.Atoi(x)
	rows, errY := strconv.Atoi(y)
	if !ok || errX != nil || errY != nil || columns < 1 || rows < 1 || columns > mostCells || rows > mostCells/columns {
		return 0, 0, stockError("%q: want columns x rows such as 3x9", word)
	}
	return columns, rows, nil
}

// Valid says why the labels cannot be printed, or returns nil. Labels may
// reach past the page by a hundredth of a millimetre, for sizes that were rounded.
func (s Stock) Valid() error {
	const slack = 0.01
	right, bottom := s.Left+s.across()-s.PageWidth, s.Top+s.down()-s.PageHeight
	switch {
	case s.Columns < 1 || s.Rows < 1:
		return stockError("%s holds no labels", s)
	case !(math.Min(s.Width, s.Height) >= smallestLabel):
		return stockError("%s: a label must be at least %g mm either way", s, smallestLabel)
	case right > slack || s.centred && s.Left < -slack/2:
		return stockError("%s does not fit: %.1f mm too wide for the page", s, s.over(right, s.Left))
	case bottom > slack || s.centred && s.Top < -slack/2:
		return stockError("%s does not fit: %.1f mm too high for the page", s, s.over(bottom, s.Top))
	}
	return nil
}

// over is what reaches past the page: half of it lies on either side when
// the labels are centred.
func (s Stock) over(past, margin float64) float64 {
	if s.centred {
		return -2 * margin
	}
	return past
}

func (s Stock) across() float64 {
	return float64(s.Columns)*s.Width + float64(s.Columns-1)*s.GapX
}

func (s Stock) down() float64 { return float64(s.Rows)*s.Height + float64(s.Rows-1)*s.GapY }

// Roll reports whether every label is a page of its own.
func (s Stock) Roll() bool { return s.Page == "roll" }

// Cells returns the number of labels on a page.
func (s Stock) Cells() int { return s.Columns * s.Rows }

// Cell returns the place of label i on its page, counted from 0, along the
// rows, from the top left; numbers past the last label begin again on the next
// page. Negative numbers count as 0.
func (s Stock) Cell(i int) Rect {
	if n := s.Cells(); n > 0 {
		i = max(i, 0) % n
	}
	column, row := float64(i%max(s.Columns, 1)), float64(i/max(s.Columns, 1))
	return Rect{s.Left + column*(s.Width+s.GapX), s.Top + row*(s.Height+s.GapY), s.Width, s.Height}
}

// String returns the stock as ParseStock reads it.
func (s Stock) String() string {
	if s.Roll() {
		return fmt.Sprintf("roll %gx%g", s.Width, s.Height)
	}
	text := fmt.Sprintf("%s %dx%d %gx%g", s.Page, s.Columns, s.Rows, s.Width, s.Height)
	if s.GapX != 0 || s.GapY != 0 {
		text += fmt.Sprintf(" gap %gx%g", s.GapX, s.GapY)
	}
	if !s.centred {
		text += fmt.Sprintf(" margin %gx%g", s.Left, s.Top)
	}
	return text
}
