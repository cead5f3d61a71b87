package report

import (
	"fmt"
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
	tied := strength.Finding{Kind: strength.NotToldApart, Treatment: "soaked", Sets: [][]string{keys}}
	got := s.headlined(tied, wording.Finding)
	if want := "Soaked: " + wording.And(keys) + " cannot be told apart."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for _, key := range []string{"QQ", "RR", "SS", "TT"} {
		s.study.Adhesives = append(s.study.Adhesives, tracker.Adhesive{Key: key, Name: name + key})
	}
	var many []string
	for i := range 60 {
		many = append(many, fmt.Sprint("K", i, "-of-a-long-key"))
	}
	best := strength.Finding{Kind: strength.ReadHighest, Treatment: "soaked", Than: many, Ties: []string{"AA"}}
	best.Group.Adhesive, best.Alike = "QQ", strength.OfRig
	best.Beside = []strength.Beside{{How: strength.OnOtherRig, Group: strength.Group{Adhesive: "RR", Rig: "jig"}}}
	got = s.headlined(best, wording.Finding)
	for _, want := range []string{"told apart from 60 adhesives", "cannot be told apart from " + name + "AA;", "RR, on the jig, is not comparable."} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not said in %q", want, got)
		}
	}
}

// What a slide says has its doubt beside it, and what it has no room for is counted.
func TestASlideSaysClaimsWithTheirDoubts(t *testing.T) {
	s := extreme(2, 3)
	group := func(key string) strength.Group { return strength.Group{Adhesive: key, Treatment: "soaked"} }
	said := func(lines ...strength.Finding) (string, string) {
		s.results.Findings = lines
		v := newSlide(s)
		return v.Headline, v.More
	}
	best := strength.Finding{Kind: strength.HeldBest, Treatment: "soaked", Group: group("A"), Than: []string{"B"}}
	dry := strength.Finding{Kind: strength.HeldBest, Treatment: "dry", Group: group("B"), Than: []string{"A"}}
	hangs := func(of strength.Finding) strength.Finding {
		return strength.Finding{Kind: strength.HangsOnWay, Treatment: of.Treatment, Group: of.Group, Ways: []strength.WayTold{{Way: strength.WoodDropped, Than: of.Than}}}
	}
	fell := strength.Finding{Kind: strength.FellApartFirst, Treatment: "soaked", Group: group("B"), N: 1, Of: 4}
	headline, more := said(best, hangs(best), fell, fell, dry, hangs(dry))
	if !strings.Contains(headline, "A held best") || !strings.HasPrefix(more, "The lead of A hangs on how it is worked out") {
		t.Errorf("%q, %q", headline, more)
	}
	if strings.Contains(more, "B held best") || !strings.HasSuffix(more, " 2 more findings in the report.") {
		t.Errorf("a claim without its doubt, or not counted: %q", more)
	}
	if _, more = said(best, hangs(best), fell, dry, hangs(dry)); strings.Contains(more, "B held best") || !strings.HasSuffix(more, "2 more findings in the report.") {
		t.Errorf("a claim without its doubt: %q", more)
	}
	if _, more = said(best, dry, hangs(dry)); !strings.Contains(more, "Dry: B held best") || !strings.Contains(more, "The lead of B hangs") && !strings.Contains(more, "Dry: the lead of B hangs") || strings.Contains(more, "more finding") {
		t.Errorf("room for all: %q", more)
	}
}

// One specimen of some leaves an order of the others, one of all leaves none.
func TestSinglesBesideOthers(t *testing.T) {
	s := extreme(2, 3)
	if s.onlySingles("soaked") {
		t.Error("two of two")
	}
	s.study.Adhesives = append(s.study.Adhesives, tracker.Adhesive{Key: "C"})
	s.results.Groups = append(s.results.Groups, strength.Group{Adhesive: "C", Treatment: "soaked", N: 1})
	if s.onlySingles("soaked") {
		t.Error("one beside two")
	}
	if s = extreme(2); !s.onlySingles("soaked") {
		t.Error("one of all")
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
	c := strength.Comparison{Ratio: &two, Sure: true, Better: 1, Others: []strength.Another{{Way: strength.PlainScale, Value: &less, ToldApart: true}}}
	if got := othersOf(c); got != "not so when worked out otherwise: plain scale" {
		t.Errorf("%q", got)
	}
}
