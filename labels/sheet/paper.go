package sheet

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"sync"
	"time"

	"github.com/jung-kurt/gofpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"soaktag/labels/qr"
)

// pointsPerMM converts millimetres to the points of PDF.
const pointsPerMM = 72 / 25.4

// capHeight is the height of a capital over the size of the type, the same in
// both fonts.
const capHeight = 0.7224

// The names of the fonts. Both tell 0 from O and 1 from I; the fixed-width ones
// of the family do not give the same bytes twice, so they are not used.
const (
	Bold    = "bold"
	Regular = "regular"
)

// A paper is a PDF being drawn, in millimetres from the top left corner.
type Paper struct {
	Width, Height  float64 // of the pages begun from now on
	Ruler          Ruler   // of scale bars
	pdf            *gofpdf.Fpdf
	nudgeX, nudgeY float64
	font           string
	size           float64
}

// NewPaper begins a PDF of pages as large as that, with a title and a date, 1970
// when that is zero. The same drawing gives the same bytes.
func NewPaper(width, height float64, title string, date time.Time) (*Paper, error) {
	pdf := gofpdf.NewCustom(&gofpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: gofpdf.SizeType{Wd: width, Ht: height}})
	if date.IsZero() {
		date = time.Unix(0, 0) // the library would take the clock's
	}
	pdf.SetCreationDate(date.UTC())
	pdf.SetModificationDate(date.UTC())
	pdf.SetCatalogSort(true)
	pdf.SetProducer("soaktag", false)
	pdf.SetTitle(Legible(title), true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetMargins(0, 0, 0)
	pdf.AddUTF8FontFromBytes(Bold, "", gobold.TTF)
	pdf.AddUTF8FontFromBytes(Regular, "", goregular.TTF)
	pdf.SetLineCapStyle("butt")
	return &Paper{pdf: pdf, Width: width, Height: height}, pdf.Error()
}

// roll turns compression off for many small pages: each would start a
// compressor of its own.
func (p *Paper) roll(on bool) { p.pdf.SetCompression(!on) }

// Page begins a page; "P" takes width and height as they are given.
func (p *Paper) Page() {
	p.pdf.AddPageFormat("P", gofpdf.SizeType{Wd: p.Width, Ht: p.Height})
	p.pdf.SetTextColor(0, 0, 0)
	p.font = ""
}

// Err returns the first error of drawing.
func (p *Paper) Err() error {
	if err := p.pdf.Error(); err != nil {
		return fmt.Errorf("draw the PDF: %w", err)
	}
	return nil
}

// Write writes the finished PDF in one go, so that an error leaves nothing.
func (p *Paper) Write(w io.Writer) error {
	var b bytes.Buffer
	if err := p.pdf.Output(&b); err != nil {
		return fmt.Errorf("draw the PDF: %w", err)
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("write the PDF: %w", err)
	}
	return nil
}

// setCaps sets the font by the height of its capitals in mm.
func (p *Paper) setCaps(font string, caps float64) {
	if p.font == font && p.size == caps {
		return
	}
	p.pdf.SetFont(font, "", caps/capHeight*pointsPerMM)
	p.font, p.size = font, caps
}

// TextWidth is the width of the text in mm, with capitals of the height given.
func (p *Paper) TextWidth(font string, caps float64, text string) float64 {
	p.setCaps(font, caps)
	return p.pdf.GetStringWidth(Legible(text))
}

// Text writes a line with its baseline at y.
func (p *Paper) Text(font string, caps, x, y float64, text string) {
	p.setCaps(font, caps)
	p.pdf.Text(x+p.nudgeX, y+p.nudgeY, Legible(text))
}

// Centred writes a line with its middle at an x and its baseline at y.
func (p *Paper) Centred(font string, caps, middle, y float64, text string) {
	p.Text(font, caps, middle-p.TextWidth(font, caps, text)/2, y, text)
}

// symbol draws a symbol with the top left corner of its first module at x, y.
func (p *Paper) symbol(s symbol, x, y, module float64) {
	scale := module * pointsPerMM
	p.pdf.RawWriteStr(fmt.Sprintf("q 0 g %.5f 0 0 -%.5f %.5f %.5f cm %sf Q", scale, scale,
		(x+p.nudgeX)*pointsPerMM, (p.Height-y-p.nudgeY)*pointsPerMM, s.path))
}

// symbolIn draws the symbol as large as it fits in a square with its quiet
// zone, the corner of the quiet zone at x, y.
func (p *Paper) symbolIn(s symbol, x, y, side float64) {
	module := side / float64(s.size+2*qr.QuietZone)
	p.symbol(s, x+qr.QuietZone*module, y+qr.QuietZone*module, module)
}

// Line draws a line of a width.
func (p *Paper) Line(x1, y1, x2, y2, width float64) {
	p.pdf.SetLineWidth(width)
	p.pdf.Line(x1+p.nudgeX, y1+p.nudgeY, x2+p.nudgeX, y2+p.nudgeY)
}

// Frame draws a rectangle from its top left corner, in a grey of 0 (black) to 255,
// with lines of a width.
func (p *Paper) Frame(x, y, w, h, width float64, grey int) {
	p.pdf.SetDrawColor(grey, grey, grey)
	p.pdf.SetLineWidth(width)
	p.pdf.Rect(x+p.nudgeX, y+p.nudgeY, w, h, "D")
	p.pdf.SetDrawColor(0, 0, 0)
}

// Dashed draws a black rectangle with dashed lines of a width.
func (p *Paper) Dashed(x, y, w, h, width float64) {
	p.pdf.SetDashPattern([]float64{1, 1}, 0)
	p.Frame(x, y, w, h, width, 0)
	p.pdf.SetDashPattern([]float64{}, 0)
}

// glyphs tells which runes both fonts can show. It is made once; a font is not
// safe to be asked from two places at once, the finished set is.
var glyphs = sync.OnceValue(func() *[0x10000]bool {
	known := new([0x10000]bool)
	for i, ttf := range [][]byte{gobold.TTF, goregular.TTF} {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			return known
		}
		var buf sfnt.Buffer
		for r := rune(' '); r <= 0xffff; r++ {
			g, err := f.GlyphIndex(&buf, r)
			known[r] = err == nil && g != 0 && (i == 0 || known[r])
		}
	}
	return known
})

// Legible replaces what the fonts cannot show: they would print a box without a
// word, and the PDF library gives up on runes above U+FFFF.
func Legible(text string) string {
	known := glyphs()
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\u00ad' || r == '\u200b' || r == '\ufeff':
			return -1
		case r < ' ':
			return ' '
		case r == '\u2011' || r == '\u2010':
			return '-'
		case r < 0x10000 && known[r]:
			return r
		}
		return '?'
	}, text)
}

// Wrap cuts the text into lines no wider than width, at spaces; a word that is
// too long is cut where it must be.
func (p *Paper) Wrap(font string, caps, width float64, text string) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if joined := strings.TrimSpace(line + " " + word); p.TextWidth(font, caps, joined) <= width {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = word
		for p.TextWidth(font, caps, line) > width && len([]rune(line)) > 1 {
			n := p.whatFits(font, caps, width, []rune(line))
			lines, line = append(lines, string([]rune(line)[:n])), string([]rune(line)[n:])
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func (p *Paper) whatFits(font string, caps, width float64, runes []rune) int {
	n := 1
	for n < len(runes) && p.TextWidth(font, caps, string(runes[:n+1])) <= width {
		n++
	}
	return n
}

// widestWord is the width of the widest word, with capitals of 1 mm.
func (p *Paper) widestWord(font, text string) float64 {
	width := 0.0
	for _, word := range strings.Fields(text) {
		width = max(width, p.TextWidth(font, 1, word))
	}
	return width
}

// Heading is the largest height of bold capitals, up to most, at which text is no wider than w.
func (p *Paper) Heading(most, w float64, text string) float64 {
	if width := p.TextWidth(Bold, 1, text); width*most > w {
		return w / width
	}
	return most
}

// Leading is the distance of two lines over the height of a capital.
const Leading = 1.75

// block writes text into a box, with the largest capitals from most down to
// least that fit, and reports whether it fits at all.
func (p *Paper) block(font string, most, least, x, y, width, height float64, text string) bool {
	word := p.widestWord(font, text) * least
	for caps := most; caps >= least-1e-9; caps -= 0.05 {
		if word <= width && word/least*caps > width {
			continue // a smaller size need not cut the word
		}
		lines := p.Wrap(font, caps, width, text)
		if float64(len(lines)-1)*caps*Leading+caps*1.3 > height {
			continue
		}
		for i, line := range lines {
			p.Text(font, caps, x, y+caps*(1+Leading*float64(i)), line)
		}
		return true
	}
	return false
}
