package schedule

import (
	"strings"
	"testing"
	"time"
)

func TestParseDuration(t *testing.T) {
	tests := []struct {
		text string
		want time.Duration
	}{
		{"7 d", 168 * time.Hour},
		{"7 d 12 h", 180 * time.Hour},
		{"2 w", 14 * Day},
		{"1w1d1h1min1s", 8*Day + time.Hour + time.Minute + time.Second},
		{"2.5 h", 150 * time.Minute},
		{"0.1 h", 6 * time.Minute},
		{" 30 min ", 30 * time.Minute},
		{"30min", 30 * time.Minute},
		{"90 s", 90 * time.Second},
		{"0 s", 0},
		{"0.001 s", time.Millisecond},
		{"36525 d", longest},
	}
	for _, test := range tests {
		if got, err := ParseDuration(test.text); err != nil || got != test.want {
			t.Errorf("ParseDuration(%q) = %v, %v; want %v", test.text, got, err, test.want)
		}
	}
}

func TestParseDurationErrors(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "nothing there"},
		{"7", "no unit"},
		{"d", "number"},
		{"5 m", `"m" is not a unit`},
		{"5 H", `"H" is not a unit`},
		{"5 A", `"A" is not a unit`},
		{"5 Z", `"Z" is not a unit`},
		{"5 z", `"z" is not a unit`},
		{"5 months", `"months" is not a unit`},
		{"-5 d", "number"},
		{"1 d 1 d", "not longer"},
		{"1 h 2 d", "not longer"},
		{"1..5 h", "not a number"},
		{".5 h", "not a number"},
		{"5. h", "not a number"},
		{"1,5 h", "write a number and a unit"},
		{"1e3 h", "not a unit"},
		{"1/2 h", "write a number and a unit"},
		{"36526 d", "longer than"},
		{"36525 d 1 s", "longer than"},
		{"99999999999999999999 w", "longer than"},
		{"7 d\x00", "write a number"},
		{"7 d trailing", "write a number"},
		{"7 d 3 trailing", `"trailing" is not a unit`},
	}
	for _, test := range tests {
		if got, err := ParseDuration(test.text); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("ParseDuration(%q) = %v, %v; want an error with %q", test.text, got, err, test.says)
		}
	}
}

func TestShort(t *testing.T) {
	tests := []struct {
		d    time.Duration
		want string
	}{
		{15*Day + 19*time.Hour + 12*time.Minute, "15 d 19 h"},
		{2*time.Hour + 18*time.Minute, "2 h 18 min"},
		{7 * Day, "7 d"},
		{-4 * time.Hour, "-4 h"},
		{743*time.Hour + 30*time.Minute, "31 d"}, // 30 d 23.5 h
		{Day - 20*time.Second, "1 d"},
		{Day - 40*time.Second, "23 h 59 min"},
		{time.Hour - 400*time.Millisecond, "1 h"},
		{5*time.Minute + 3*time.Second, "5 min 3 s"},
		{45 * time.Second, "45 s"},
		{0, "0 s"},
		{-300 * time.Millisecond, "0 s"},
	}
	for _, test := range tests {
		if got := Short(test.d); got != test.want {
			t.Errorf("Short(%v) = %q, want %q", test.d, got, test.want)
		}
	}
}

func FuzzParseDuration(f *testing.F) {
	for _, s := range []string{"7 d 12 h", "0.25 s", "2.5h", "1w1d1h1min1s", "", "99999999999999999999 w", "-1 h"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := ParseDuration(s)
		if err != nil {
			return
		}
		if d < 0 || d > longest {
			t.Fatalf("ParseDuration(%q) = %v, out of range", s, d)
		}
		if again, err := ParseDuration(Exact(d)); err != nil || again != d {
			t.Fatalf("%q: Exact wrote %q, read back as %v, %v", s, Exact(d), again, err)
		}
		if Short(d) == "" {
			t.Fatalf("Short(%v) is empty", d)
		}
	})
}

// A length below nothing is written as the one above it, with its sign, to the longest.
func TestShortOfNegative(t *testing.T) {
	for _, d := range []time.Duration{time.Second, 5*time.Minute + 3*time.Second, 26 * time.Hour, longest/2 + Day, longest} {
		if got, want := Short(-d), "-"+Short(d); got != want {
			t.Errorf("Short(-%v) = %q, want %q", d, got, want)
		}
	}
}

// Forty characters are quoted whole, one more is cut.
func TestClip(t *testing.T) {
	whole := strings.Repeat("x", 40)
	if got := clip(whole); got != whole {
		t.Errorf("%q", got)
	}
	if got := clip(whole + "y"); strings.Contains(got, "y") || !strings.HasSuffix(got, "...") {
		t.Errorf("%q", got)
	}
}
