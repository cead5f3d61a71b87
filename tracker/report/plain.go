package report

import (
	"strings"
	"unicode"
)

// Names and notes come from people, and may hold characters that nobody sees:
// one that turns the direction of writing would mirror the rest of its line.
// Such characters are taken out of the finished page, all at once, so that no
// text is forgotten; what is written from right to left of itself is set
// between isolates (UAX #9, FSI and PDI), so that it orders nothing but itself.
// Both hold in HTML as well as in SVG.
const isolate, endIsolate = '\u2068', '\u2069'

// plain is a page without hidden characters.
func plain(page string) string {
	var out strings.Builder
	out.Grow(len(page))
	inside := false
	var waiting []rune // what may stand within a run, if the run goes on
	for _, r := range page {
		r = visible(r)
		switch {
		case r < 0:
		case fromTheRight(r):
			if !inside {
				out.WriteRune(isolate)
			}
			inside = true
			out.WriteString(string(waiting))
			waiting = waiting[:0]
			out.WriteRune(r)
		case inside && (r == ' ' || unicode.Is(unicode.Mn, r)):
			waiting = append(waiting, r)
		default:
			if inside {
				out.WriteRune(endIsolate)
				out.WriteString(string(waiting))
				waiting, inside = waiting[:0], false
			}
			out.WriteRune(r)
		}
	}
	if inside {
		out.WriteRune(endIsolate)
	}
	return out.String()
}

// visible is r, a space for an exotic end of a line, or -1 where r steers how
// others are shown and is nothing itself.
func visible(r rune) rune {
	switch {
	case r == '\n', r == '\t':
		return r
	case r == '\u2028', r == '\u2029':
		return ' '
	case unicode.Is(unicode.Cc, r), unicode.Is(unicode.Bidi_Control, r), r == '\uFEFF', r >= '\uFFF9' && r <= '\uFFFB':
		return -1
	}
	return r
}

// fromTheRight reports whether r is a letter that is written from right to
// left.
func fromTheRight(r rune) bool {
	return r >= 0x590 && unicode.IsLetter(r) && unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko,
		unicode.Samaritan, unicode.Mandaic, unicode.Adlam, unicode.Hanifi_Rohingya)
}
