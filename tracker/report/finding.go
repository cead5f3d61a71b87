package report

import (
	"regexp"
	"strings"
	"unicode"
)

// A finding is what is said of one treatment, or of all.
type finding struct {
	Lead string
	Says []string
}

// findings sets the first apart as the headline and sorts the others under
// the treatment that they begin with.
func (s *source) findings() (headline string, rest []finding) {
	for i, text := range s.told() {
		if i == 0 {
			headline = asSentence(s.readable(text))
			continue
		}
		lead, says := s.lead(text)
		if n := len(rest); n == 0 || rest[n-1].Lead != lead {
			rest = append(rest, finding{Lead: lead})
		}
		last := &rest[len(rest)-1]
		last.Says = append(last.Says, asSentence(s.readable(says)))
	}
	return headline, rest
}

// told are the findings without those that the page says in its own place.
func (s *source) told() (out []string) {
	for _, text := range s.results.Findings {
		if !strings.Contains(text, "not broken yet") {
			out = append(out, strings.Map(visible, text)) // a hidden letter is none to begin with
		}
	}
	return out
}

// lead splits a finding at the treatment, or the interval, that it is about.
func (s *source) lead(text string) (lead, rest string) {
	before, after, found := strings.Cut(text, ": ")
	if !found {
		return "all", text
	}
	for _, t := range s.study.Treatments {
		if t.Key == before {
			return before, after
		}
	}
	for _, d := range s.drift {
		if d.Interval == before {
			return before, after
		}
	}
	return "all", text
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
