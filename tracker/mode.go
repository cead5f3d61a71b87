package tracker

import "strings"

// A Mode is a failure mode as the trade abbreviates it, and in a word. The
// abbreviations are those of ISO 10365, from memory; mixed is common practice, no
// published source. Others can be written in one's own words. Means is for somebody who
// has the faces in hand.
type Mode struct{ Name, Where, Means string }

var modes = []Mode{
	{"AF", "adhesive", "between the glue and the wood"},
	{"CF", "cohesive", "within the glue, some on both faces"},
	{"SF", "substrate", "in the wood"},
	{"mixed", "", "some of each"},
}

// Modes lists the failure modes that have a key, in the order in which they are
// offered. The caller owns the slice.
func Modes() []Mode { return append([]Mode(nil), modes...) }

// Key is the one key that stands for the mode: "a" for AF.
func (m Mode) Key() string { return strings.ToLower(m.Name[:1]) }

// ParseMode reads a failure mode: its key, its name in any case, or words of
// one's own as they are. Another single letter is no mode: false.
func ParseMode(text string) (string, bool) {
	text = strings.TrimSpace(text)
	for _, m := range modes {
		if strings.EqualFold(text, m.Key()) || strings.EqualFold(text, m.Name) {
			return m.Name, true
		}
	}
	return text, len(text) != 1
}
