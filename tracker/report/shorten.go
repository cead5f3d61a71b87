package report

import (
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A slide must be taken in at a glance, whatever the names are. So its headline
// gets smaller type from a length on; one that is longer still says some keys
// instead of names, which the figure has side by side, and then ends early.
const (
	longHeadline   = 110 // letters, smaller type from here on
	longerHeadline = 180 // type that is smaller still
	mostHeadline   = 300 // some keys instead of names from here on
	mostFinding    = 420 // of a finding on the page, where there is more room
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
func (s *source) headlined(f strength.Finding, word func(strength.Finding, *tracker.Study) string) string {
	return cutShort(asSentence(s.said(f, mostHeadline, word)), mostHeadline)
}

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
