package screen

import (
	"fmt"
	"io"
	"strings"
	"unicode"
)

// A Block is text set in lines. Whatever else is printed stands in one line.
type Block string

// Sprintf is fmt.Sprintf for a terminal. What somebody wrote, and this program only
// passes on, can neither steer the terminal nor begin a line: what stands for a verb is
// made plain, on one line unless it is a Block or a Table. The format is trusted.
func Sprintf(format string, args ...any) string {
	for i, it := range args {
		args[i] = shown{it}
	}
	return fmt.Sprintf(format, args...)
}

// shown is an argument whose text is made plain once it is set.
type shown struct{ it any }

func (s shown) Format(f fmt.State, verb rune) {
	text := fmt.Sprintf(fmt.FormatString(f, verb), s.it)
	switch s.it.(type) {
	case Block, *Table:
	default:
		text = Line(text)
	}
	io.WriteString(f, plain(text, '\n'))
}

// Line makes text one plain line: what would end it, or steer a terminal, is shown as a
// space, and what would turn its letters round as a mark of replacement.
func Line(text string) string { return plain(text, -1) }

// plain leaves of all control characters only keep.
func plain(text string, keep rune) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c == keep:
			return c
		case unicode.IsControl(c), c == '\u2028', c == '\u2029':
			return ' '
		case unicode.Is(unicode.Bidi_Control, c):
			return unicode.ReplacementChar
		}
		return c
	}, strings.ToValidUTF8(text, "\ufffd"))
}

// JSON writes the characters that Line would not show as escapes, which say the same to
// whatever reads the JSON.
func JSON(text []byte) []byte {
	var out []byte
	for _, c := range string(text) {
		if r := string(c); c != '\n' && Line(r) != r {
			out = fmt.Appendf(out, `\u%04x`, c)
		} else {
			out = append(out, r...)
		}
	}
	return out
}
