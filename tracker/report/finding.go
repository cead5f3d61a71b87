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
			headline = asSentence(s.said(f, wording.Finding))
			continue
		}
		lead := about(f)
		if n := len(rest); n == 0 || rest[n-1].Lead != lead {
			rest = append(rest, finding{Lead: lead})
		}
		last := &rest[len(rest)-1]
		last.Says = append(last.Says, asSentence(s.said(f, wording.FindingSays)))
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

// said is a finding in words, with keys instead of names where names make a
// sentence too long, or one of the study would break it; the page has them side
// by side. A hidden letter is none to begin with.
func (s *source) said(f strength.Finding, word func(strength.Finding, *tracker.Study) string) string {
	text := strings.Map(visible, word(f, s.study))
	breaks := func(a tracker.Adhesive) bool { return wording.BreaksSentence(a.Name) }
	if len([]rune(text)) > keysHeadline || slices.ContainsFunc(s.study.Adhesives, breaks) {
		text = strings.Map(visible, word(f, s.byKeys()))
	}
	return text
}

// byKeys is the study with adhesives that are called by their keys, where these
// are shorter.
func (s *source) byKeys() *tracker.Study {
	study := *s.study
	study.Adhesives = slices.Clone(study.Adhesives)
	for i, a := range study.Adhesives {
		if len(a.Name) > len(a.Key)+2 {
			study.Adhesives[i].Name = ""
		}
	}
	return &study
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
