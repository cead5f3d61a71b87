package report

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"soaktag/tracker"
)

// A slide must be taken in at a glance, whatever the names are. So its headline
// gets smaller type from a length on; one that is longer still says keys
// instead of names, which the figure has side by side, and then ends early.
const (
	longHeadline   = 110 // letters, smaller type from here on
	longerHeadline = 180 // type that is smaller still
	keysHeadline   = 240 // keys instead of names
	mostHeadline   = 300
	mostTitle      = 90
)

// headlineSize is the class of a headline's type.
func headlineSize(text string) string {
	switch n := len([]rune(text)); {
	case n > longerHeadline:
		return "longer"
	case n > longHeadline:
		return "long"
	}
	return ""
}

// headlined is a finding as a sentence that is short enough for a slide.
func (s *source) headlined(text string) string {
	if len([]rune(text)) > keysHeadline {
		text = s.byKeys(text)
	}
	return cutShort(asSentence(text), mostHeadline)
}

// readable says keys instead of names where names make a sentence of the page
// too long; the page has them side by side.
func (s *source) readable(text string) string {
	if len([]rune(text)) > keysHeadline {
		return s.byKeys(text)
	}
	return text
}

// byKeys says keys instead of names, the longest name first.
func (s *source) byKeys(text string) string {
	all := slices.Clone(s.study.Adhesives)
	slices.SortStableFunc(all, func(a, b tracker.Adhesive) int { return cmp.Compare(len(b.Name), len(a.Name)) })
	for _, a := range all {
		if len(a.Name) > len(a.Key)+2 {
			text = replaceWord(text, strings.Map(visible, a.Name), a.Key)
		}
	}
	return text
}

// replaceWord replaces a word where it is not part of a longer one.
func replaceWord(text, old, put string) string {
	var out strings.Builder
	for {
		at := strings.Index(text, old)
		if at < 0 {
			return out.String() + text
		}
		before, after := []rune(text[:at]), []rune(text[at+len(old):])
		word := put
		if len(before) > 0 && ofWord(before[len(before)-1]) || len(after) > 0 && ofWord(after[0]) {
			word = old
		}
		out.WriteString(text[:at] + word)
		text = text[at+len(old):]
	}
}

func ofWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

// cutShort ends a text early: at the end of a sentence, or of a part that can
// stand alone, where the cut leaves at least half; else within, and says so.
func cutShort(text string, most int) string {
	letters := []rune(text)
	if len(letters) <= most {
		return text
	}
	head := string(letters[:most])
	if at := max(strings.LastIndex(head, "; "), strings.LastIndex(head, ". ")); at > len(head)/2 {
		return head[:at] + "."
	}
	if at := strings.LastIndexAny(head, " \u00a0"); at > len(head)/2 {
		head = head[:at]
	}
	return strings.TrimRight(head, " ,;:-") + " …"
}
