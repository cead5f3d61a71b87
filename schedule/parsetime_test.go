package schedule

import (
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones must be there on a bare machine
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// utc reads "2026-03-27T18:10" as UTC; "" is an open end.
func utc(t *testing.T, s string) time.Time {
	t.Helper()
	if s == "" {
		return time.Time{}
	}
	at, err := time.Parse("2006-01-02T15:04:05.999", s)
	if err != nil {
		at, err = time.Parse("2006-01-02T15:04", s)
	}
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func TestParseTime(t *testing.T) {
	// Tuesday, 10:00 in London (BST), two days after its clocks changed.
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	tests := []struct {
		text, from, to string
		doubts         []Doubt
	}{
		{"now", "2026-03-31T09:00", "2026-03-31T09:00", nil},
		{"NOW", "2026-03-31T09:00", "2026-03-31T09:00", nil},
		{"-2h30m", "2026-03-31T06:30", "2026-03-31T06:30", nil},
		{"-2 h 30 min", "2026-03-31T06:30", "2026-03-31T06:30", nil},
		{"-10m", "2026-03-31T08:50", "2026-03-31T08:50", nil},
		{"-3d", "2026-03-28T09:00", "2026-03-28T09:00", nil}, // 72 h, across the change
		{"8:10", "2026-03-31T07:10", "2026-03-31T07:10", nil},
		{"08:10:30", "2026-03-31T07:10:30", "2026-03-31T07:10:30", nil},
		{"18:10", "2026-03-31T17:10", "2026-03-31T17:10", []Doubt{Future}},
		{"today 09:59", "2026-03-31T08:59", "2026-03-31T08:59", nil},
		{"yesterday 18:10", "2026-03-30T17:10", "2026-03-30T17:10", nil},
		{"fri 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil}, // still GMT
		{"Friday 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"tue 10:00", "2026-03-31T09:00", "2026-03-31T09:00", nil},
		{"tue 10:01", "2026-03-24T10:01", "2026-03-24T10:01", nil},
		{"sat 18:10", "2026-03-28T18:10", "2026-03-28T18:10", nil},
		{"wed 00:00", "2026-03-25T00:00", "2026-03-25T00:00", nil},
		{"2026-03-27 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"2026-03-27T18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"2026-03-30T18:10:05", "2026-03-30T17:10:05", "2026-03-30T17:10:05", nil},
		{"2026-03-30T18:10:05.25Z", "2026-03-30T18:10:05.250", "2026-03-30T18:10:05.250", nil},
		{"2026-03-30T18:10Z", "2026-03-30T18:10", "2026-03-30T18:10", nil},
		{"2026-03-30t18:10:00z", "2026-03-30T18:10", "2026-03-30T18:10", nil},
		{"2026-03-30T18:10:00-03:30", "2026-03-30T21:40", "2026-03-30T21:40", nil},
		{"2026-03-30 18:10+05:45", "2026-03-30T12:25", "2026-03-30T12:25", nil},
		{"2026-04-01 00:00", "2026-03-31T23:00", "2026-03-31T23:00", []Doubt{Future}},

		{"08:00..09:00", "2026-03-31T07:00", "2026-03-31T08:00", nil},
		{"08:00 .. 09:00", "2026-03-31T07:00", "2026-03-31T08:00", nil},
		{"yesterday 18:00..09:00", "2026-03-30T17:00", "2026-03-31T08:00", nil},
		{"yesterday 18:00..19:00", "2026-03-30T17:00", "2026-03-30T18:00", nil},
		{"fri 18:00..mon 09:00", "2026-03-27T18:00", "2026-03-30T08:00", nil},
		{"2026-03-27 18:00..09:00", "2026-03-27T18:00", "2026-03-28T09:00", nil},
		{"2026-03-27T18:00Z..2026-03-27T19:00Z", "2026-03-27T18:00", "2026-03-27T19:00", nil},
		{"08:00..now", "2026-03-31T07:00", "2026-03-31T09:00", nil},
		{"08:00..18:00", "2026-03-31T07:00", "2026-03-31T17:00", []Doubt{Future}},
		{"..09:00", "", "2026-03-31T08:00", nil},
		{"fri 18:10..", "2026-03-27T18:10", "", nil},
		{"-3h..-1h", "2026-03-31T06:00", "2026-03-31T08:00", nil},
		{"09:00+-10m", "2026-03-31T07:50", "2026-03-31T08:10", nil},
		{"09:00 +/- 10 min", "2026-03-31T07:50", "2026-03-31T08:10", nil},
		{"now+-10m", "2026-03-31T08:50", "2026-03-31T09:10", nil},
		{"-1h ± 5 min", "2026-03-31T07:55", "2026-03-31T08:05", nil},

		// London: 29 March 01:00 to 02:00 does not exist; 26 October 2025
		// 01:00 to 02:00 exists twice.
		{"sun 01:30", "2026-03-29T01:30", "2026-03-29T01:30", []Doubt{Missing}},
		{"2026-03-29 00:59:59", "2026-03-29T00:59:59", "2026-03-29T00:59:59", nil},
		{"2026-03-29 01:00", "2026-03-29T01:00", "2026-03-29T01:00", []Doubt{Missing}},
		{"2026-03-29 02:00", "2026-03-29T01:00", "2026-03-29T01:00", nil},
		{"2025-10-26 01:30", "2025-10-26T00:30", "2025-10-26T00:30", []Doubt{Twice}},
		{"2025-10-26 00:59", "2025-10-25T23:59", "2025-10-25T23:59", nil},
		{"2025-10-26 02:00", "2025-10-26T02:00", "2025-10-26T02:00", nil},
		{"2026-10-25 01:30", "2026-10-25T00:30", "2026-10-25T00:30", []Doubt{Twice, Future}},
		{"2025-10-26 01:00..01:30", "2025-10-26T00:00", "2025-10-26T00:30", []Doubt{Twice}},

		// Twice 12 hours, and days of other forms: common practice, no published source.
		{"6:10 pm", "2026-03-31T17:10", "2026-03-31T17:10", []Doubt{Future}},
		{"8am", "2026-03-31T07:00", "2026-03-31T07:00", nil},
		{"8 a.m.", "2026-03-31T07:00", "2026-03-31T07:00", nil},
		{"12 am", "2026-03-30T23:00", "2026-03-30T23:00", nil},
		{"yesterday 12pm", "2026-03-30T11:00", "2026-03-30T11:00", nil},
		{"yesterday 6:10:05 PM", "2026-03-30T17:10:05", "2026-03-30T17:10:05", nil},
		{"6am..8 am", "2026-03-31T05:00", "2026-03-31T07:00", nil},
		{"2026-03-27 6:10 PM", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"27.3.2026 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"02.03.2026 18:10", "2026-03-02T18:10", "2026-03-02T18:10", nil}, // dots: the day first
		{"3/27/2026 6:10 PM", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"27/03/2026 18:10:05", "2026-03-27T18:10:05", "2026-03-27T18:10:05", nil},
		{"27-03-2026 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"2026/3/27 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"03/03/2026 18:10", "2026-03-03T18:10", "2026-03-03T18:10", nil}, // both are the same
		{"27-Mar-2026 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"27-Mar-26 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"27 March 2026, 18:10", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"March 27, 2026 6:10 pm", "2026-03-27T18:10", "2026-03-27T18:10", nil},
		{"27 mar 6pm", "2026-03-27T18:00", "2026-03-27T18:00", nil},
		{"mar 1 1 pm", "2026-03-01T13:00", "2026-03-01T13:00", nil},
		{"7 Sept 18:00", "2025-09-07T17:00", "2025-09-07T17:00", nil},
		{"31 Dec 18:00", "2025-12-31T18:00", "2025-12-31T18:00", nil},
		{"1 Apr 18:00", "2025-04-01T17:00", "2025-04-01T17:00", nil}, // the last one
		{"31 mar 18:00", "2025-03-31T17:00", "2025-03-31T17:00", nil},

		// A day alone is a range, and today ends now.
		{"2026-03-27", "2026-03-27T00:00", "2026-03-28T00:00", nil},
		{"27/3/2026", "2026-03-27T00:00", "2026-03-28T00:00", nil},
		{"sun", "2026-03-29T00:00", "2026-03-29T23:00", nil}, // 23 hours long
		{"yesterday", "2026-03-29T23:00", "2026-03-30T23:00", nil},
		{"today", "2026-03-30T23:00", "2026-03-31T09:00", nil},
		{"27 mar..", "2026-03-27T00:00", "", nil},
		{"27 mar..yesterday", "2026-03-27T00:00", "2026-03-30T23:00", nil},
		{"2026-03-27..18:00", "2026-03-27T00:00", "2026-03-27T18:00", nil},
		{"2026-04-01", "2026-03-31T23:00", "2026-04-01T23:00", []Doubt{Future}},
		{"29 feb", "2024-02-29T00:00", "2024-03-01T00:00", nil},
	}
	for _, test := range tests {
		got, doubts, err := ParseTime(test.text, now, zone(t, "Europe/London"))
		want := Span{utc(t, test.from), utc(t, test.to)}
		if err != nil || got != want || !slices.Equal(doubts, test.doubts) {
			t.Errorf("ParseTime(%q) = %v %q %v; want %v %q", test.text, got, doubts, err, want, test.doubts)
		}
	}
}

func TestParseTimeErrors(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "write now"},
		{"..", "both ends are open"},
		{"later", "write now"},
		{"18", "write now"},
		{"25:00", "write now"},
		{"24:00", "write now"},
		{"18:60", "write now"},
		{"someday 18:10", "write now"},
		{"2026-02-30 10:00", "there is no day 2026-02-30"},
		{"03/04/2026 18:10", "03/04/2026 may be 3 April or 4 March; write 2026-04-03 or 2026-03-04"},
		{"3-4-2026", "may be 3 April or 4 March"},
		{"3/27/26", "year of two digits"},
		{"13/13/2026", "there is no day"},
		{"27.13.2026", "there is no day"},
		{"30 feb", "there is no day"},
		{"27 mor 2026", "write now"},
		{"2026-03/27", "write now"},
		{"18:10 pm", "write now"},
		{"13pm", "write now"},
		{"mon 1 1 pm", "write now"},
		{"pm", "write now"},
		{"0001-01-01 00:00", "no study was in that year"},
		{"2026-03-27 18:10..9999-01-01 00:00", "no study was in that year"},
		{"-2", "no unit"},
		{"-2x", "not a unit"},
		{"+2h", "write now"},
		{"18:00..09:00", "ends before it begins"},
		{"now..-1h", "ends before it begins"},
		{"08:00..09:00..10:00", "write now"},
		{"08:00+-", "nothing there"},
		{"08:00+-10", "no unit"},
		{"..+-10m", "write now"},
		{"-99999999d", "longer than"},
	}
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	for _, test := range tests {
		got, _, err := ParseTime(test.text, now, zone(t, "Europe/London"))
		if err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("ParseTime(%q) = %v, %v; want an error with %q", test.text, got, err, test.says)
		}
	}
}

// Odd zones: half-hour changes, offsets off the hour, a day that never was.
func TestParseTimeOddZones(t *testing.T) {
	tests := []struct {
		zone, text, want string
		doubts           []Doubt
	}{
		{"Australia/Lord_Howe", "2025-10-05 02:15", "2025-10-04T15:45", []Doubt{Missing}}, // +10:30 to +11
		{"Australia/Lord_Howe", "2025-04-06 01:45", "2025-04-05T14:45", []Doubt{Twice}},
		{"Pacific/Chatham", "2025-09-28 03:00", "2025-09-27T14:15", []Doubt{Missing}}, // +12:45 to +13:45 at 02:45
		{"America/St_Johns", "2026-03-08 02:30", "2026-03-08T06:00", []Doubt{Missing}},
		{"America/St_Johns", "2025-11-02 01:30", "2025-11-02T04:00", []Doubt{Twice}},
		{"Asia/Kathmandu", "2026-03-08 02:30", "2026-03-07T20:45", nil},
		// Samoa went from 29 December 24:00 to 31 December 00:00.
		{"Pacific/Apia", "2011-12-29 23:59", "2011-12-30T09:59", nil},
		{"Pacific/Apia", "2011-12-30 12:00", "2011-12-30T22:00", []Doubt{Missing}},
		{"Pacific/Apia", "2011-12-31 00:00", "2011-12-30T10:00", nil},
		// Kwajalein skipped 21 August 1993 likewise.
		{"Pacific/Kwajalein", "1993-08-21 12:00", "1993-08-22T00:00", []Doubt{Missing}},
		{"UTC", "2026-03-29 01:30", "2026-03-29T01:30", nil},
	}
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	for _, test := range tests {
		got, doubts, err := ParseTime(test.text, now, zone(t, test.zone))
		if err != nil || got != At(utc(t, test.want)) || !slices.Equal(doubts, test.doubts) {
			t.Errorf("%s %s = %v %q %v; want %s %q", test.zone, test.text, got.From, doubts, err, test.want, test.doubts)
		}
	}
	apia := time.Date(2011, 12, 31, 0, 0, 0, 0, time.UTC) // 31 December 14:00 there
	got, doubts, err := ParseTime("yesterday 18:10", apia, zone(t, "Pacific/Apia"))
	if err != nil || !slices.Equal(doubts, []Doubt{Missing, Future}) {
		t.Errorf("yesterday in Apia: %v %q %v", got, doubts, err)
	}
}

// RFC 3339, section 5.8, and what clause 5.4 of ISO 8601:2004 calls complete in
// the extended format. A leap second is no instant here.
func TestParseTimePublished(t *testing.T) {
	tests := []struct{ text, want string }{
		{"1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.52"},
		{"1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57"},
		{"1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.87"},
		{"1985-04-12T10:15:30", "1985-04-12T10:15:30"},
		{"1985-04-12T10:15:30Z", "1985-04-12T10:15:30"},
		{"1985-04-12T10:15:30+04:00", "1985-04-12T06:15:30"},
		{"1985-04-12T10:15:30,5", "1985-04-12T10:15:30.5"},
		{"1985-04-12T10:15", "1985-04-12T10:15"},
	}
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	for _, test := range tests {
		got, _, err := ParseTime(test.text, now, time.UTC)
		if err != nil || got != At(utc(t, test.want)) {
			t.Errorf("ParseTime(%q) = %v, %v; want %s", test.text, got, err, test.want)
		}
	}
	if got, _, err := ParseTime("1990-12-31T23:59:60Z", now, time.UTC); err == nil {
		t.Errorf("a leap second is %v", got)
	}
}

// Who writes up another day means that day; the future begins now all the same.
func TestParseTimeOn(t *testing.T) {
	day := time.Date(2026, 3, 24, 12, 0, 0, 0, time.UTC) // a Tuesday
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	tests := []struct {
		text, from, to string
		doubts         []Doubt
	}{
		{"6pm", "2026-03-24T18:00", "2026-03-24T18:00", nil},
		{"today", "2026-03-24T00:00", "2026-03-25T00:00", nil},
		{"yesterday 18:00", "2026-03-23T18:00", "2026-03-23T18:00", nil},
		{"fri 18:00", "2026-03-20T18:00", "2026-03-20T18:00", nil},
		{"2026-03-31", "2026-03-31T00:00", "2026-03-31T09:00", nil},
		{"2026-03-31 18:00", "2026-03-31T18:00", "2026-03-31T18:00", []Doubt{Future}},
	}
	for _, test := range tests {
		got, doubts, err := ParseTimeOn(test.text, day, now, time.UTC)
		if want := (Span{utc(t, test.from), utc(t, test.to)}); err != nil || got != want || !slices.Equal(doubts, test.doubts) {
			t.Errorf("%q = %v %q %v; want %v %q", test.text, got, doubts, err, want, test.doubts)
		}
	}
}

func TestParseInstant(t *testing.T) {
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{"18:00": "2026-03-31T18:00", "2026-03-27": "2026-03-28T00:00", "today": "2026-03-31T09:00",
		"2026-04-02": "2026-04-03T00:00", "1 Apr": "2026-04-02T00:00", "30 mar": "2026-03-31T00:00", "31 mar": "2026-03-31T09:00",
		"1 apr 18:10": "2026-04-01T18:10", "31 mar 18:10": "2026-03-31T18:10", "28 sep": "2026-09-29T00:00", "1 oct": "2025-10-02T00:00", "29 feb": "2024-03-01T00:00",
		"wed": "2026-03-26T00:00", "8:00..9:00": "not a range", "27 mar..": "not a range", "later": "write now"} {
		got, err := ParseInstant(text, now, time.UTC)
		switch {
		case err != nil && !strings.Contains(err.Error(), want):
			t.Errorf("%q: %v; want %s", text, err, want)
		case err == nil && !got.Equal(utc(t, want)):
			t.Errorf("%q = %v; want %s", text, got, want)
		}
	}
}

func TestParseTimeNilZone(t *testing.T) {
	got, _, err := ParseTime("08:00", time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC), nil)
	if err != nil || got != At(utc(t, "2026-03-31T08:00")) {
		t.Errorf("%v %v", got, err)
	}
}

func FuzzParseTime(f *testing.F) {
	for _, s := range []string{"now", "-2h30m", "18:10", "yesterday 18:10", "fri 18:10", "2026-03-27 18:10",
		"2026-03-27T18:10:05+01:00", "08:00..09:00", "..09:00", "fri 18:10..", "09:00+-10m", "2011-12-30 12:00..",
		"2026-03-29 01:30+-36525d", "0000-01-01 00:00", "9999-12-31 23:59:59", "..", "+-",
		"6:10 pm", "10/20/2026 6:10 PM", "20.10.2026 18:10", "20-Oct-26", "oct 20, 2026", "yesterday", "29 feb", "2011-12-30"} {
		f.Add(s)
	}
	now := time.Date(2026, 3, 31, 9, 0, 0, 0, time.UTC)
	zones := []*time.Location{nil, zone(f, "Europe/London"), zone(f, "Pacific/Apia"), zone(f, "America/St_Johns")}
	f.Fuzz(func(t *testing.T, s string) {
		for _, z := range zones {
			span, doubts, err := ParseTime(s, now, z)
			if err != nil {
				continue
			}
			if span.IsZero() && !strings.Contains(s, "0000") && !strings.Contains(s, "0001") {
				t.Fatalf("ParseTime(%q) knows nothing", s)
			}
			if !span.From.IsZero() && !span.To.IsZero() && span.To.Before(span.From) {
				t.Fatalf("ParseTime(%q) = %v, backwards", s, span)
			}
			if span.Exact() {
				readBack(t, span.From, doubts, now, z)
			}
		}
	})
}

// readBack writes the instant with its offset, which leaves no doubt.
func readBack(t *testing.T, at time.Time, doubts []Doubt, now time.Time, z *time.Location) {
	if y := at.Year(); y < 1 || y > 9998 {
		return
	}
	again, more, err := ParseTime(at.Format(time.RFC3339Nano), now, z)
	if err != nil || again != At(at) {
		t.Fatalf("%v read back as %v, %v", at, again, err)
	}
	if slices.Contains(more, Future) != slices.Contains(doubts, Future) {
		t.Fatalf("%v: doubts %q, then %q", at, doubts, more)
	}
}
