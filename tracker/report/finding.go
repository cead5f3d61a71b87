package report

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A finding is what is said of one treatment, or of all.
type finding struct {
	Lead string
	Says []string
}

// findings sets the first apart as the headline and sorts the others under
// the treatment that they are about.
func (s *source) findings() (headline string, rest []finding) {
	for i, f := range s.told() {
		if i == 0 {
			headline = asSentence(s.said(f, mostHeadline, wording.Finding))
			continue
		}
		lead := about(f)
		if n := len(rest); n == 0 || rest[n-1].Lead != lead {
			rest = append(rest, finding{Lead: lead})
		}
		last := &rest[len(rest)-1]
		last.Says = append(last.Says, asSentence(s.said(f, mostFinding, wording.FindingSays)))
	}
	return headline, rest
}

// about is the treatment, or the interval, that a finding is about.
func about(f strength.Finding) string {
	if key := f.Treatment + f.Interval; key != "" {
		return key
	}
	return "all"
}

// said is a finding in words that somebody reads aloud: in names, as far as that
// makes no sentence of more letters than most. Of a longer one whom it is about and short
// lists keep their names; others are called by their keys, which the page has
// beside the names. A hidden letter is none to begin with.
func (s *source) said(f strength.Finding, most int, word func(strength.Finding, *tracker.Study) string) (text string) {
	for _, study := range []*tracker.Study{s.study, s.calling(fewOf(f)), s.calling(nil)} {
		if text = strings.Map(visible, word(f, study)); len([]rune(text)) <= most {
			break
		}
	}
	return text
}

// mostNamed is how many adhesives of a long list are called by their names.
const mostNamed = 3

// fewOf are the adhesives that a finding is about, without long lists.
func fewOf(f strength.Finding) []string {
	named := []string{f.Group.Adhesive}
	for _, list := range [][]string{f.Who, f.Ties, f.Than} {
		if len(list) <= mostNamed {
			named = append(named, list...)
		}
	}
	return named
}

// calling is the study with adhesives called by their keys, where these are
// shorter, except some.
func (s *source) calling(named []string) *tracker.Study {
	return wording.ByKeys(s.study, func(a tracker.Adhesive) bool {
		return len(a.Name) > len(a.Key)+2 && !slices.Contains(named, a.Key)
	})
}

// told are the findings without those that the page says in its own place.
func (s *source) told() []strength.Finding {
	return slices.DeleteFunc(slices.Clone(s.results.Findings), func(f strength.Finding) bool { return f.Kind == strength.Unfinished })
}

// asSentence begins with a capital letter, ends with a full stop, and keeps
// numbers with their units.
func asSentence(text string) string {
	letters := []rune(strings.TrimSpace(text))
	if len(letters) == 0 {
		return ""
	}
	letters[0] = unicode.ToUpper(letters[0])
	whole := string(letters)
	if !strings.ContainsRune(".!?", letters[len(letters)-1]) {
		whole += "."
	}
	return unbroken(whole)
}

// unbroken puts spaces that do not break between a number and what belongs to it.
func unbroken(text string) string {
	text = regexp.MustCompile(`(\d) (MPa|psi|%|d|h|min|s|kN)\b|(\d) (%)`).ReplaceAllString(text, "$1$3\u00a0$2$4")
	return regexp.MustCompile(`\bn (\d)`).ReplaceAllString(text, "n\u00a0$1")
}
