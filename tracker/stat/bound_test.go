package stat_test

import (
	"errors"
	"testing"

	"soaktag/tracker/stat"
)

func TestBoundOfARatio(t *testing.T) {
	for _, c := range []struct{ over, under, want stat.Bound }{
		{stat.Exact, stat.Exact, stat.Exact},
		{stat.AtLeast, stat.Exact, stat.AtLeast},
		{stat.Exact, stat.AtLeast, stat.AtMost},
		{stat.AtLeast, stat.AtLeast, stat.Either},
		{stat.AtMost, stat.AtLeast, stat.AtMost},
		{stat.AtLeast, stat.AtMost, stat.AtLeast},
		{stat.Either, stat.Exact, stat.Either},
		{stat.Zero, stat.AtLeast, stat.AtMost},
		{stat.None, stat.Exact, stat.None},
		{stat.Exact, stat.None, stat.None},
	} {
		if got := c.over.Over(c.under); got != c.want {
			t.Errorf("%v over %v is %v, want %v", c.over, c.under, got, c.want)
		}
	}
}

func TestBoundWords(t *testing.T) {
	for _, b := range []stat.Bound{stat.Exact, stat.AtLeast, stat.AtMost, stat.Either, stat.Zero, stat.None} {
		text, _ := b.MarshalText()
		var back stat.Bound
		if err := back.UnmarshalText(text); err != nil || back != b {
			t.Errorf("%q reads back as %v: %v", text, back, err)
		}
	}
	if err := new(stat.Bound).UnmarshalText([]byte("about")); err == nil {
		t.Error("about is a bound")
	}
	if got := stat.Bound(99).String() + stat.Bound(-1).Sign(); got != "Bound(99)" {
		t.Errorf("unknown bounds are %q", got)
	}
}

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
