package schedule

import (
	"strings"
	"testing"
	"time"
)

const (
	hour   = time.Hour
	minute = time.Minute
)

func TestParsePlanned(t *testing.T) {
	tests := []struct {
		text string
		want Planned
	}{
		{"14 d +/- 1 d", Planned{Target, 14 * Day, Day, Day, false}},
		{"14d+/-1d", Planned{Target, 14 * Day, Day, Day, false}},
		{"24 h ± 2 h", Planned{Target, Day, 2 * hour, 2 * hour, false}},
		{"7 d + 4 h - 30 min", Planned{Target, 7 * Day, 30 * minute, 4 * hour, false}},
		{"7 d - 30 min + 4 h", Planned{Target, 7 * Day, 30 * minute, 4 * hour, false}},
		{"7 d +/- 0 h", Planned{Kind: Target, Length: 7 * Day}},
		{"7 d 12 h +/- 1 h 30 min", Planned{Target, 180 * hour, 90 * minute, 90 * minute, false}},
		{"at least 12 h", Planned{Kind: AtLeast, Length: 12 * hour}},
		{"  at   most 30 min", Planned{Kind: AtMost, Length: 30 * minute}},
		{"none", Planned{}},
		{"as soaked +/- 1 d", Planned{Kind: AsPartner, Early: Day, Late: Day}},
		{"as soaked + 2 d - 1 d", Planned{Kind: AsPartner, Early: Day, Late: 2 * Day}},
		{"as soaked", Planned{Kind: AsPartner, Assumed: true}},
		// No tolerance: the larger of 10 min and 5 % (DESIGN, time; our own rule).
		{"24 h", Planned{Target, Day, 72 * minute, 72 * minute, true}},
		{"200 min", Planned{Target, 200 * minute, 10 * minute, 10 * minute, true}},
		{"1 h", Planned{Target, hour, 10 * minute, 10 * minute, true}},
		{"5 min", Planned{Target, 5 * minute, 5 * minute, 10 * minute, true}},
	}
	for _, test := range tests {
		if got, err := ParsePlanned(test.text); err != nil || got != test.want {
			t.Errorf("ParsePlanned(%q) = %+v, %v; want %+v", test.text, got, err, test.want)
		}
	}
}

func TestParsePlannedErrors(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "nothing there"},
		{"soon", "write a number"},
		{"14 d +/- ", "nothing there"},
		{"+/- 1 d", "nothing there"},
		{"14 d + 1 d", "both sides"},
		{"14 d - 1 d", "both sides"},
		{"14 d +/- 1", "no unit"},
		{"14 +/- 1 d", "no unit"},
		{"14 d +/- 15 d", "longer than 14 d itself"},
		{"0 d +/- 1 h", "longer than nothing"},
		{"0 d", `write "none"`},
		{"at least 0 h", "longer than nothing"},
		{"at least", "write a number"},
		{"at most -1 h", "write a number"},
		{"as soaked 3 d", `write "as soaked"`},
		{"at least 12 h +/- 1 h", "write a number"},
		{"None", "write a number"},
		{"14 d +/- 1 d +/- 1 d", "write a number"},
	}
	for _, test := range tests {
		if got, err := ParsePlanned(test.text); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("ParsePlanned(%q) = %+v, %v; want an error with %q", test.text, got, err, test.says)
		}
	}
}

func TestAsLongAs(t *testing.T) {
	partner := 23*Day + 5*hour
	got := Planned{Kind: AsPartner, Early: Day, Late: Day}.AsLongAs(partner)
	if want := (Planned{Target, partner, Day, Day, false}); got != want {
		t.Errorf("with a tolerance: %+v, want %+v", got, want)
	}
	got = Planned{Kind: AsPartner, Assumed: true}.AsLongAs(20 * Day)
	if want := (Planned{Target, 20 * Day, Day, Day, true}); got != want {
		t.Errorf("without: %+v, want %+v", got, want)
	}
	if p := (Planned{Kind: AtMost, Length: hour}); p.AsLongAs(partner) != p {
		t.Error("another kind was changed")
	}
}

func FuzzParsePlanned(f *testing.F) {
	for _, s := range []string{"14 d +/- 1 d", "7 d + 4 h - 30 min", "at least 12 h", "at most 30 min", "none",
		"as soaked +/- 1 d", "as soaked", "24 h", "5 min", "7 d ± 4 h", "1 d + 1 d", "-", "+"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := ParsePlanned(s)
		if err != nil {
			return
		}
		if p.Early < 0 || p.Late < 0 || p.Length < 0 || (p.Kind == Target && p.Early > p.Length) {
			t.Fatalf("ParsePlanned(%q) = %+v", s, p)
		}
		if again, err := ParsePlanned(p.String()); err != nil || again != p {
			t.Fatalf("%q: wrote %q, read back as %+v, %v; want %+v", s, p.String(), again, err, p)
		}
	})
}
