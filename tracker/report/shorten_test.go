package report

import (
	"strings"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

func TestCutShort(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"short enough", "short enough"},
		{"it held best in all; told apart from that one", "it held best in all."},
		{"words without any end to them at all", "words without any end to them …"},
		{strings.Repeat("x", 40), strings.Repeat("x", 30) + " …"},
	} {
		if got := cutShort(c.text, 30); got != c.want {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

// A headline keeps all that it says where keys make room for it.
func TestHeadlineSaysKeysInsteadOfLongNames(t *testing.T) {
	name := "two-part phenol-resorcinol-formaldehyde with hardener "
	s := &source{study: &tracker.Study{}}
	var keys []string
	for _, key := range []string{"AA", "BB", "CC", "DD", "EE", "FF", "GG", "HH", "KK", "MM", "NN", "PP"} {
		s.study.Adhesives = append(s.study.Adhesives, tracker.Adhesive{Key: key, Name: name + key})
		keys = append(keys, key)
	}
	tied := strength.Finding{Kind: strength.NotToldApart, Treatment: "soaked", Who: keys}
	got := s.headlined(tied, wording.Finding)
	if want := "Soaked: " + wording.And(keys) + " cannot be told apart."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	tied.Who = []string{strings.Repeat("Wort ", 200)}
	if long := s.headlined(tied, wording.FindingSays); len([]rune(long)) > mostHeadline+2 || headlineSize(long) != "longer" {
		t.Errorf("%d letters", len([]rune(long)))
	}
}

// What is told apart only for want of knowing better is neither filled nor
// among what can be said.
func TestDoubtsAreTold(t *testing.T) {
	s := extreme(2, 3)
	c := &s.results.Comparisons[0]
	c.ToldApart, c.Doubt = true, strength.Doubt{Kind: strength.HidesMore, Who: "A", Than: "B", N: 3, Of: 4}
	p := newPage(s)
	pair := p.Comparisons[0]
	told := strings.Join(p.Cannot, " ") + pair.Pairs[0].Says + string(pair.Figure.Wide)
	if n := strings.Count(told, "the readings differ, but wood or rig gave way first in 3 of 4 of B"); n != 3 {
		t.Errorf("told %d times: %s", n, told)
	}
	if strings.Contains(strings.Join(p.Can, " "), "held more") || strings.Contains(told, `class="odds"`) {
		t.Error("told as sure")
	}
	c.Sure, c.Doubt = true, strength.Doubt{}
	if p = newPage(s); !strings.Contains(strings.Join(p.Can, " "), "A held more than B") || !strings.Contains(string(p.Comparisons[0].Figure.Wide), `class="odds"`) {
		t.Error("not told as sure")
	}
}

// Another way that finds the other one stronger does not agree.
func TestAnotherWayMayTurnAPairRound(t *testing.T) {
	two, less := 2.0, -1.0
	c := strength.Comparison{Ratio: &two, ToldApart: true, Others: []strength.Another{{Way: strength.PlainScale, Value: &less, ToldApart: true}}}
	if got := othersOf(c); got != "not so when worked out otherwise: plain scale" {
		t.Errorf("%q", got)
	}
}
