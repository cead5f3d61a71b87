package report

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// A canvas is one SVG being drawn. Lengths are in its own units; text and
// attributes are escaped here and nowhere else.
type canvas struct {
	b    strings.Builder
	w, h float64
}

// A figure is one drawing for wide pages and one for narrow ones.
type figure struct {
	Wide, Narrow template.HTML
}

func (f figure) Empty() bool { return f.Wide == "" }

// finish wraps what was drawn, with its title and description. The id must be
// the only one of its kind on the page.
func (c *canvas) finish(id, class, title, desc string) template.HTML {
	head := fmt.Sprintf(`<svg class="%s" role="img" aria-labelledby="%s-t %s-d" viewBox="0 0 %s %s">`+
		`<title id="%s-t">%s</title><desc id="%s-d">%s</desc>`,
		class, id, id, at(c.w), at(c.h), id, esc(title), id, esc(desc))
	return template.HTML(head + c.b.String() + "</svg>")
}

// esc makes any text safe in SVG: characters that nobody sees go, others that
// XML has no place for at all become a replacement mark.
func esc(text string) string {
	clean := strings.Map(func(r rune) rune {
		if r == 0xFFFE || r == 0xFFFF {
			return '\uFFFD'
		}
		return visible(r)
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return template.HTMLEscapeString(clean)
}

// at writes a coordinate to a tenth of a unit.
func at(x float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(x, 'f', 1, 64), ".0")
}

func (c *canvas) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&c.b, `<path class="%s" d="M%s %sL%s %s"/>`, class, at(x1), at(y1), at(x2), at(y2))
}

// path draws through points in pairs of x and y.
func (c *canvas) path(class string, points ...float64) {
	fmt.Fprintf(&c.b, `<path class="%s" d="%s"/>`, class, through(points))
}

func through(points []float64) string {
	var d strings.Builder
	for i := 0; i+1 < len(points); i += 2 {
		step := "L"
		if i == 0 {
			step = "M"
		}
		d.WriteString(step + at(points[i]) + " " + at(points[i+1]))
	}
	return d.String()
}

// closed draws a closed shape.
func (c *canvas) closed(class string, points ...float64) {
	fmt.Fprintf(&c.b, `<path class="%s" d="%sZ"/>`, class, through(points))
}

func (c *canvas) circle(class string, x, y, r float64) {
	fmt.Fprintf(&c.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`, class, at(x), at(y), at(r))
}

func (c *canvas) rect(class string, x, y, w, h float64) {
	fmt.Fprintf(&c.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`, class, at(x), at(y), at(max(0, w)), at(max(0, h)))
}

func (c *canvas) text(class string, x, y, size float64, s string) {
	if s == "" {
		return
	}
	halo := ""
	if strings.Contains(class, "strong") || strings.Contains(class, "over-lines") {
		halo = ` paint-order="stroke"` // an attribute: as a property, not every checker of styles knows it
	}
	fmt.Fprintf(&c.b, `<text class="%s" x="%s" y="%s" font-size="%s"%s>%s</text>`, class, at(x), at(y), at(size), halo, esc(s))
}

// letterWidth is that of an average letter of the fonts a page may meet, as a
// part of its size, with a sixth of slack.
const letterWidth = 0.58

// bold letters are so much wider.
const bold = 1.14

// letters is how many average letters a text is as wide as.
func letters(s []rune) (n float64) {
	for _, r := range s {
		n += wideness(r)
	}
	return n
}

// wideness is how many average letters a letter is as wide as.
func wideness(r rune) float64 {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case r >= 0x1100 && r <= 0x115F, r >= 0x2E80 && r <= 0xD7FF, r >= 0xF900 && r <= 0xFAFF, r >= 0xFF00 && r <= 0xFF60, r >= 0x1F000:
		return 1.9 // full width
	case strings.ContainsRune("mMW@%—…", r):
		return 1.7
	case unicode.IsUpper(r):
		return 1.2
	}
	return 1
}

// holding is how many letters from the front a width holds; at least one.
func holding(s []rune, size, width float64) (n int) {
	room := width / (size * letterWidth)
	for n < len(s) {
		if room -= wideness(s[n]); room < 0 {
			break
		}
		n++
	}
	return max(n, 1)
}

// fits cuts a text to a width and says so with an ellipsis.
func fits(s string, size, width float64) string {
	text := []rune(s)
	if len(text) == 0 || holding(text, size, width) == len(text) {
		return s
	}
	n := holding(text, size, width-size*letterWidth*wideness('…'))
	return strings.TrimRight(string(text[:n]), " -") + "…"
}

// folded breaks a text at spaces and hyphens into lines of a width, at most as
// many as said. A word that is longer than a line is cut.
func folded(s string, size, width float64, most int) []string {
	var lines []string
	for rest := []rune(s); len(rest) > 0; {
		cut := holding(rest, size, width)
		if cut == len(rest) || len(lines) == most-1 {
			return append(lines, fits(string(rest), size, width))
		}
		for cut > 0 && rest[cut] != ' ' && rest[cut-1] != ' ' && rest[cut-1] != '-' {
			cut--
		}
		if cut == 0 {
			cut = wordEnd(rest)
		}
		lines = append(lines, fits(strings.TrimRight(string(rest[:cut]), " "), size, width))
		rest = []rune(strings.TrimLeft(string(rest[cut:]), " "))
	}
	return lines
}

// wordEnd is where the first word of a text ends, with its hyphen.
func wordEnd(text []rune) int {
	for i, r := range text {
		switch {
		case r == '-':
			return i + 1
		case r == ' ' && i > 0:
			return i
		}
	}
	return len(text)
}

// named writes what fits of a name, by lines; of one that is cut, the whole is
// its title.
func (c *canvas) named(whole string, lines []string, draw func(line string)) {
	short := slices.ContainsFunc(lines, func(line string) bool { return strings.HasSuffix(line, "…") })
	if short {
		c.b.WriteString("<g><title>" + esc(whole) + "</title>")
	}
	for _, line := range lines {
		draw(line)
	}
	if short {
		c.b.WriteString("</g>")
	}
}

// A scale turns values from 0 up into places along an axis.
type scale struct {
	from, to float64 // places
	top      float64 // value at to
}

// at is the place of a value; one beyond an end, or that is no number, lies at
// the end.
func (s scale) at(x float64) float64 {
	if !(x > 0) {
		return s.from
	}
	return s.from + (s.to-s.from)*min(x/s.top, 1)
}

// labelled are ticks that stand far enough apart for their numbers.
func (s scale) labelled(most int, size float64) (values []float64, decimals int) {
	for ; ; most-- {
		values, decimals = s.ticks(most)
		widest := letters([]rune(fixed(values[len(values)-1], decimals))) + 1 // and a gap
		if most <= 3 || widest*size*letterWidth <= s.at(values[1])-s.at(0) {
			return values, decimals
		}
	}
}

// ticks are round values from 0 up, not many more than asked for (at least 3),
// and the decimals that they need.
func (s scale) ticks(most int) (values []float64, decimals int) {
	step := math.Pow(10, math.Floor(math.Log10(s.top/float64(most))))
	for grow := 0; s.top/step > float64(most); grow++ {
		step *= [...]float64{2, 2.5, 2}[grow%3] // 1, 2, 5, 10, ...
	}
	if step < 1 {
		decimals = -int(math.Floor(math.Log10(step) + 1e-9))
	}
	for i := 0; float64(i)*step <= s.top*1.0001; i++ {
		values = append(values, float64(i)*step)
	}
	return values, decimals
}
