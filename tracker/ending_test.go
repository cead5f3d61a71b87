package tracker

import (
	"strings"
	"testing"
)

func TestParseHow(t *testing.T) {
	for _, c := range []struct {
		text string
		want How
	}{
		{"separated", Separated}, {"SEP", Separated}, {"st", Stopped}, {"fixture gave way", FixtureGave}, {"fix", FixtureGave},
		{"Fixture-failure", FixtureGave}, {"fixture failure", FixtureGave}, {"press_limit", PressLimit}, {"b", BottomedOut},
		{"fell", FellApart}, {"sl", Slipped},
		{"s", ""}, {"f", ""}, {"", ""}, {" ", ""}, {"broke", ""}, {"separatedd", ""},
	} {
		got, err := ParseHow(c.text)
		if got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("ParseHow(%q) = %q, %v; want %q", c.text, got, err, c.want)
		}
	}
	if _, err := ParseHow("s"); !strings.Contains(err.Error(), EndingNames()) {
		t.Errorf("the error names not all ways: %v", err)
	}
}

func TestHowNamed(t *testing.T) {
	for _, c := range []struct {
		text string
		want How
	}{
		{"Separated", Separated}, {" fell   apart ", FellApart}, {"sep", ""}, {"fixture failure", ""}, {"fell-apart", ""}, {"", ""},
	} {
		got, err := HowNamed(c.text)
		if got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("HowNamed(%q) = %q, %v; want %q", c.text, got, err, c.want)
		}
	}
	const want = `"x y": write separated, stopped, fixture gave way, slipped, press limit, bottomed out or fell apart`
	if _, err := HowNamed("X  y"); err == nil || err.Error() != want {
		t.Errorf("HowNamed says %v, want %s", err, want)
	}
}

func TestEndingsSayWhatTheyMean(t *testing.T) {
	for _, c := range []struct {
		how                          How
		loads, needs, parts, outlast bool
		outcome                      string
	}{
		{Separated, true, true, true, false, "broke"},
		{Stopped, true, true, false, true, "stopped"},
		{FixtureGave, true, true, false, true, "fixture failure"},
		{Slipped, true, false, false, true, "slipped"},
		{PressLimit, true, true, false, true, "press limit"},
		{BottomedOut, false, false, false, false, ""},
		{FellApart, false, false, true, false, "fell apart"},
		{"chewed", true, false, false, false, ""},
	} {
		h := c.how
		if h.Loads() != c.loads || h.NeedsReading() != c.needs || h.Parts() != c.parts || h.Outlasts() != c.outlast || h.Outcome() != c.outcome {
			t.Errorf("%s: loads %v, needs a reading %v, parts %v, outlasts %v, outcome %q", h, h.Loads(), h.NeedsReading(), h.Parts(), h.Outlasts(), h.Outcome())
		}
	}
}

func TestEndingsAreWhole(t *testing.T) {
	for _, e := range endings {
		if e.parts && e.outlast || e.outlast && (e.reading == unread || e.outcome == "") {
			t.Errorf("%s contradicts itself", e.how)
		}
	}
}
