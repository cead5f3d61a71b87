package stat_test

import (
	"errors"
	"testing"

	"soaktag/tracker/stat"
)

var allBounds = []stat.Bound{stat.Exact, stat.AtLeast, stat.AtMost, stat.Either, stat.Zero, stat.None}

func TestBoundOfARatioAndOfAMean(t *testing.T) {
	for _, c := range []struct{ a, b, over, and stat.Bound }{
		{stat.Exact, stat.Exact, stat.Exact, stat.Exact},
		{stat.AtLeast, stat.Exact, stat.AtLeast, stat.AtLeast},
		{stat.Exact, stat.AtLeast, stat.AtMost, stat.AtLeast},
		{stat.AtLeast, stat.AtLeast, stat.Either, stat.AtLeast},
		{stat.AtMost, stat.AtLeast, stat.AtMost, stat.Either},
		{stat.AtLeast, stat.AtMost, stat.AtLeast, stat.Either},
		{stat.Either, stat.Exact, stat.Either, stat.Either},
		{stat.Zero, stat.AtLeast, stat.AtMost, stat.AtLeast},
		{stat.None, stat.Exact, stat.None, stat.None},
		{stat.Exact, stat.None, stat.None, stat.None},
	} {
		if over, and := c.a.Over(c.b), c.a.And(c.b); over != c.over || and != c.and {
			t.Errorf("%v over %v is %v, want %v; and: %v, want %v", c.a, c.b, over, c.over, and, c.and)
		}
	}
}

// What is shown agrees with what is worked out.
func TestBoundsSayWhatTheyMean(t *testing.T) {
	signs := map[[2]bool][3]string{{false, false}: {"=", "", ""}, {true, false}: {">=", "≥", "at least"}, {false, true}: {"<=", "≤", "at most"}, {true, true}: {"?", "?", ""}}
	for _, b := range allBounds {
		want := signs[[2]bool{b.MayBeMore(), b.MayBeLess()}]
		if b == stat.None {
			want[0] = ""
		}
		if got := [3]string{b.Sign(), b.Glyph(), b.Phrase()}; got != want {
			t.Errorf("%v is written %q, want %q", b, got, want)
		}
		hold := map[string]string{"=": "both", ">=": "low", "<=": "high", "?": "none", "": "none"}[want[0]]
		if got := b.LimitsHold(); got != hold {
			t.Errorf("limits of %v: %q hold, want %q", b, got, hold)
		}
		if b.Censored() && !b.Measured() || b.Censored() != (b.MayBeMore() || b.MayBeLess()) {
			t.Errorf("%v: censored %v, measured %v", b, b.Censored(), b.Measured())
		}
	}
	if b := stat.Bound(99); b.Sign()+b.Glyph()+b.Phrase() != "" || b.Measured() || b.String() != "Bound(99)" {
		t.Errorf("no bound: %v", b)
	}
}

func TestBoundsReadBack(t *testing.T) {
	for _, b := range allBounds {
		text, _ := b.MarshalText()
		var back stat.Bound
		if err := back.UnmarshalText(text); err != nil || back != b {
			t.Errorf("%q reads back as %v: %v", text, back, err)
		}
	}
	if err := new(stat.Bound).UnmarshalText([]byte("about")); err == nil {
		t.Error("about is a bound")
	}
}

// A kind that no sum knows is refused, not counted as something else.
func TestFitsRefuseOtherBounds(t *testing.T) {
	obs := []stat.Observation{{Value: 1}, {Value: 2}, {Value: 3, Bound: stat.AtMost}}
	_, fit := stat.FitCensored(obs, stat.LogNormal, 0.95)
	_, curve := stat.KaplanMeier(obs, 0.95)
	_, pairs := stat.TukeyCensored([][]stat.Observation{obs, obs}, 0.95)
	for _, err := range []error{fit, curve, pairs} {
		if !errors.Is(err, stat.ErrBound) {
			t.Errorf("an upper bound gives %v", err)
		}
	}
}
