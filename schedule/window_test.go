package schedule

import (
	"testing"
	"time"
)

var noon = time.Date(2026, 3, 10, 12, 0, 0, 0, time.UTC)

func planned(t *testing.T, s string) Planned {
	t.Helper()
	p, err := ParsePlanned(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestWindow(t *testing.T) {
	after := func(d time.Duration) time.Time { return noon.Add(d) }
	around := Span{noon.Add(-hour), noon.Add(hour)}
	tests := []struct {
		planned string
		from    Span
		want    Window
	}{
		{"7 d +/- 4 h", At(noon), Window{after(164 * hour), after(168 * hour), after(172 * hour)}},
		{"7 d + 4 h - 30 min", At(noon), Window{after(7*Day - 30*minute), after(7 * Day), after(172 * hour)}},
		{"7 d +/- 4 h", around, Window{after(164 * hour), after(168 * hour), after(172 * hour)}},
		{"7 d +/- 4 h", Span{From: noon}, Window{after(164 * hour), after(168 * hour), after(172 * hour)}},
		{"at least 12 h", At(noon), Window{Opens: after(12 * hour), At: after(12 * hour)}},
		{"at most 30 min", At(noon), Window{At: after(30 * minute), Closes: after(30 * minute)}},
		{"none", At(noon), Window{}},
		{"as soaked +/- 1 d", At(noon), Window{}},
		{"7 d +/- 4 h", Span{}, Window{}},
	}
	for _, test := range tests {
		if got := planned(t, test.planned).Window(test.from); got != test.want {
			t.Errorf("%s from %v: %v, want %v", test.planned, test.from, got, test.want)
		}
	}
}

// The limits of DESIGN section 6: soon is the last tenth before the window
// opens, at least 1 h, at most 2 d; due opens to closes, inclusive.
func TestState(t *testing.T) {
	const tick = time.Millisecond
	tests := []struct {
		planned string
		after   time.Duration
		want    State
	}{
		{"7 d +/- 4 h", 0, Ongoing},
		{"7 d +/- 4 h", 164*hour - 7*Day/10 - tick, Ongoing},
		{"7 d +/- 4 h", 164*hour - 7*Day/10, Soon},
		{"7 d +/- 4 h", 164*hour - tick, Soon},
		{"7 d +/- 4 h", 164 * hour, Due},
		{"7 d +/- 4 h", 172 * hour, Due},
		{"7 d +/- 4 h", 172*hour + tick, Overdue},
		{"60 d +/- 1 d", 57*Day - tick, Ongoing}, // a tenth would be 6 d
		{"60 d +/- 1 d", 57 * Day, Soon},
		{"4 h +/- 10 min", 170*minute - tick, Ongoing}, // a tenth would be 24 min
		{"4 h +/- 10 min", 170 * minute, Soon},
		{"30 min +/- 10 min", 0, Soon},
		{"at least 12 h", 648*minute - tick, Ongoing},
		{"at least 12 h", 648 * minute, Soon},
		{"at least 12 h", 12 * hour, Due},
		{"at least 12 h", 1000 * Day, Due},
		{"at most 30 min", 0, Due},
		{"at most 30 min", 27*minute - tick, Due},
		{"at most 30 min", 27 * minute, Soon},
		{"at most 30 min", 30 * minute, Soon},
		{"at most 30 min", 30*minute + tick, Overdue},
		{"at most 60 d", 58 * Day, Soon},
		{"at most 60 d", 58*Day - tick, Due},
		{"none", 1000 * Day, Ongoing},
	}
	for _, test := range tests {
		p := planned(t, test.planned)
		if got := p.Window(At(noon)).State(p.Length, noon.Add(test.after)); got != test.want {
			t.Errorf("%s after %v: %v, want %v", test.planned, test.after, got, test.want)
		}
	}
}

func TestOver(t *testing.T) {
	w := planned(t, "7 d +/- 4 h").Window(At(noon))
	// PUR-S1 to S4 of the oar loft: over by 2.3 h (174.3 h in the bath).
	if got := w.Over(noon.Add(174*hour + 18*minute)); got != 138*minute {
		t.Errorf("over by %v, want 2h18m", got)
	}
	if got := w.Over(w.Closes); got != 0 {
		t.Errorf("over by %v at the limit itself", got)
	}
	if got := planned(t, "at least 1 h").Window(At(noon)).Over(noon.Add(9 * Day)); got != 0 {
		t.Errorf("at least: over by %v", got)
	}
}

func TestJudge(t *testing.T) {
	span := func(lo, hi time.Duration) Span { return Span{noon.Add(lo), noon.Add(hi)} }
	exact := func(d time.Duration) Span { return At(noon.Add(d)) }
	tests := []struct {
		planned string
		to      Span
		lo, hi  time.Duration
		want    Verdict
	}{
		{"24 h +/- 2 h", Span{}, 0, 0, Running},
		{"24 h +/- 2 h", exact(22 * hour), 22 * hour, 22 * hour, Within},
		{"24 h +/- 2 h", exact(22*hour - 1), 22*hour - 1, 22*hour - 1, Early},
		{"24 h +/- 2 h", exact(26 * hour), 26 * hour, 26 * hour, Within},
		{"24 h +/- 2 h", exact(26*hour + 1), 26*hour + 1, 26*hour + 1, Late},
		// EPX-S2 of the oar loft: clamp borrowed after 6 h 10.
		{"24 h +/- 2 h", exact(370 * minute), 370 * minute, 370 * minute, Early},
		// UF-D4: "range 22.7 to 28.7 h: cannot tell if within 24 +/-2".
		{"24 h +/- 2 h", span(1362*minute, 1722*minute), 1362 * minute, 1722 * minute, CannotTell},
		{"24 h +/- 2 h", span(22*hour, 26*hour), 22 * hour, 26 * hour, Within},
		{"24 h +/- 2 h", span(21*hour, 23*hour), 21 * hour, 23 * hour, CannotTell},
		{"24 h +/- 2 h", span(20*hour, 27*hour), 20 * hour, 27 * hour, CannotTell},
		{"24 h +/- 2 h", span(20*hour, 22*hour), 20 * hour, 22 * hour, Early}, // touched, not straddled
		{"24 h +/- 2 h", span(26*hour, 28*hour), 26 * hour, 28 * hour, Late},
		{"24 h +/- 2 h", Span{From: noon.Add(27 * hour)}, 27 * hour, Unbounded, Late},
		{"24 h +/- 2 h", Span{From: noon.Add(23 * hour)}, 23 * hour, Unbounded, CannotTell},
		{"24 h +/- 2 h", Span{To: noon.Add(21 * hour)}, 0, 21 * hour, Early},
		{"at least 12 h", exact(12 * hour), 12 * hour, 12 * hour, Within},
		{"at least 12 h", exact(11 * hour), 11 * hour, 11 * hour, Early},
		{"at least 12 h", Span{From: noon.Add(13 * hour)}, 13 * hour, Unbounded, Within},
		{"at most 30 min", exact(30 * minute), 30 * minute, 30 * minute, Within},
		// EPX-S4: held 95 min in air.
		{"at most 30 min", exact(95 * minute), 95 * minute, 95 * minute, Late},
		{"at most 30 min", span(20*minute, 40*minute), 20 * minute, 40 * minute, CannotTell},
		{"none", exact(hour), hour, hour, Within},
		{"as soaked +/- 1 d", exact(hour), hour, hour, CannotTell},
		{"24 h +/- 2 h", exact(-hour), -hour, -hour, Early},
	}
	for _, test := range tests {
		lo, hi, v := planned(t, test.planned).Judge(At(noon), test.to)
		if lo != test.lo || hi != test.hi || v != test.want {
			t.Errorf("%s to %v: %v %v %v, want %v %v %v", test.planned, test.to, lo, hi, v, test.lo, test.hi, test.want)
		}
	}
}

func TestJudgeUnknownBeginning(t *testing.T) {
	lo, hi, v := planned(t, "24 h +/- 2 h").Judge(Span{}, At(noon))
	if lo != 0 || hi != Unbounded || v != CannotTell {
		t.Errorf("got %v %v %v", lo, hi, v)
	}
}

// TRADE 2.10: not scanned between 18:00 and 09:00 is middle 01:30, +/- 7.5 h.
func TestMid(t *testing.T) {
	evening := time.Date(2026, 3, 10, 18, 0, 0, 0, time.UTC)
	night := Span{evening, evening.Add(15 * hour)}
	if got, want := night.Mid(), evening.Add(450*minute); !got.Equal(want) {
		t.Errorf("middle %v, want %v", got, want)
	}
	if night.Exact() || !At(noon).Exact() || (Span{}).Exact() || !(Span{}).IsZero() || (Span{To: noon}).IsZero() {
		t.Error("Exact or IsZero is wrong")
	}
	if !(Span{From: noon}).Mid().Equal(noon) || !(Span{To: noon}).Mid().Equal(noon) {
		t.Error("an open span's middle is not its known end")
	}
}
