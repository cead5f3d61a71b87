package report

import (
	"slices"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A slide must be taken in at a glance, whatever the names are. So its headline
// gets smaller type from a length on; one that is longer still says some keys
// instead of names, which the figure has side by side, and then counts those whom a
// long list names. It is never cut: what ends early may lose the doubt that its claim
// stands under.
const (
	longHeadline   = 110 // letters, smaller type from here on
	longerHeadline = 180 // type that is smaller still
	mostHeadline   = 300 // some keys instead of names from here on, and then the smallest type
	mostFinding    = 420 // of a finding on the page, where there is more room
	mostTitle      = 90
)

// headlineSize is the class of a headline's type.
func headlineSize(text string) string {
	switch n := len([]rune(text)); {
	case n > mostHeadline:
		return "longest"
	case n > longerHeadline:
		return "longer"
	case n > longHeadline:
		return "long"
	}
	return ""
}

// headlined is a finding as a whole sentence that is short enough for a slide.
func (s *source) headlined(f strength.Finding, word func(strength.Finding, *tracker.Study) string) string {
	text := asSentence(s.said(f, mostHeadline, word))
	if len([]rune(text)) > mostHeadline {
		text = asSentence(s.said(counted(f), mostHeadline, word))
	}
	return text
}

// counted is a finding that says of long lists how many they are.
func counted(f strength.Finding) strength.Finding {
	f.Ties = fewOrHow(f.Ties)
	if f.Kind != strength.FellMore { // which gives the share of each
		f.Than = fewOrHow(f.Than)
	}
	f.Ways, f.Sets, f.Reads, f.Boxes = slices.Clone(f.Ways), slices.Clone(f.Sets), slices.Clone(f.Reads), slices.Clone(f.Boxes)
	for i := range f.Ways {
		f.Ways[i].Than = fewOrHow(f.Ways[i].Than)
	}
	for i := range f.Sets {
		f.Sets[i] = fewOrHow(f.Sets[i])
	}
	for i, r := range f.Reads {
		f.Reads[i].Who, f.Reads[i].Than = fewOrHow(r.Who), fewOrHow(r.Than)
	}
	for i := range f.Boxes {
		f.Boxes[i].Who = fewOrHow(f.Boxes[i].Who)
	}
	return f
}

// fewOrHow is a list or, of a long one, how many it names.
func fewOrHow(keys []string) []string {
	if len(keys) <= mostNamed {
		return keys
	}
	return []string{wording.Plural(len(keys), "adhesive")}
}

// cutShort ends a title early: at the end of a sentence, or of a part that can
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
