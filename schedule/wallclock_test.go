package schedule

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// zones have every kind of clock change: whole and half hours, north and
// south, changes of the standard offset, a day skipped, a day repeated, war
// time, double summer time, winter time that is the odd one out, none at all.
var zones = []string{
	"America/St_Johns", "Pacific/Apia", "Australia/Lord_Howe", "Pacific/Chatham", "Europe/London", "Europe/Dublin",
	"Europe/Berlin", "Europe/Moscow", "America/New_York", "America/Sao_Paulo", "America/Caracas", "America/Santiago",
	"Africa/Casablanca", "Africa/Cairo", "Africa/Monrovia", "Asia/Kathmandu", "Asia/Tehran", "Asia/Pyongyang",
	"Asia/Gaza", "Asia/Kolkata", "Asia/Singapore", "Antarctica/Troll", "Pacific/Kwajalein", "Pacific/Kiritimati",
	"America/Juneau", "Asia/Manila", "UTC",
}

// changes lists the instants from 1900 to 2040 at which a zone's clocks
// changed.
func changes(z *time.Location) []time.Time {
	var all []time.Time
	for t := time.Date(1900, 1, 1, 0, 0, 0, 0, time.UTC); t.Year() < 2040; {
		_, end := t.In(z).ZoneBounds()
		if end.IsZero() {
			break
		}
		all, t = append(all, end.UTC()), end.UTC()
	}
	return all
}

// A planned length is between instants: the window that follows is the same
// as plain arithmetic in UTC, whatever clocks the two ends are read from.
func TestWindowAcrossEveryChange(t *testing.T) {
	lengths := []string{"10 min", "24 h", "1 d", "7 d +/- 4 h", "14 d +/- 1 d", "4 w"}
	seen := 0
	for _, name := range zones {
		z := zone(t, name)
		for _, change := range changes(z) {
			seen++
			for _, text := range lengths {
				checkAcross(t, planned(t, text), change, z)
			}
		}
	}
	if seen < 2000 {
		t.Errorf("only %d clock changes seen", seen)
	}
}

func checkAcross(t *testing.T, p Planned, change time.Time, z *time.Location) {
	t.Helper()
	ms := change.Add(-p.Length / 2).UnixMilli()
	want := ms + p.Length.Milliseconds()
	begun := time.UnixMilli(ms).In(z)
	w := p.Window(At(begun))
	if w.At.UnixMilli() != want || w.Closes.UnixMilli() != want+p.Late.Milliseconds() || w.Opens.UnixMilli() != want-p.Early.Milliseconds() {
		t.Errorf("%v across %v in %v: window %v", p, change, z, w)
	}
	lo, hi, v := p.Judge(At(begun), At(time.UnixMilli(want).In(z)))
	if lo != p.Length || hi != p.Length || v != Within {
		t.Errorf("%v across %v in %v: %v to %v, %v", p, change, z, lo, hi, v)
	}
}

// Every wall clock reading around every change is checked against a search
// that knows nothing of offsets: it walks through the instants and looks.
func TestInstantAroundEveryChange(t *testing.T) {
	seen := 0
	for _, name := range zones {
		z := zone(t, name)
		for _, change := range changes(z) {
			jump := offset(change, z) - offset(change.Add(-minute), z)
			if change.Year() < 1970 || jump%(15*minute) != 0 {
				continue // the walk goes by quarters of an hour
			}
			seen++
			checkAround(t, change, z)
		}
	}
	if seen < 1000 {
		t.Errorf("only %d clock changes seen", seen)
	}
}

func checkAround(t *testing.T, change time.Time, z *time.Location) {
	t.Helper()
	shown := map[time.Time][]time.Time{}
	for m := -27 * 60; m <= 27*60; m += 15 {
		at := change.Add(time.Duration(m) * minute)
		shown[digits(at, z)] = append(shown[digits(at, z)], at)
	}
	before := digits(change.Add(-15*minute), z)
	for m := -90; m <= 90; m += 15 {
		wall := before.Add(time.Duration(m) * minute)
		got, doubts := instant(wall, z)
		switch found := shown[wall]; {
		case len(found) == 0:
			if !slices.Equal(doubts, []Doubt{Missing}) || got.Before(change) || !digits(got, z).After(wall) {
				t.Errorf("%v %v: %v %q, want one later than the change", z, wall, got, doubts)
			}
		case !got.Equal(found[0]) || (len(found) > 1) != slices.Equal(doubts, []Doubt{Twice}):
			t.Errorf("%v %v: %v %q, want the first of %v", z, wall, got, doubts, found)
		}
	}
}

// digits is what the clocks of a zone show, as if it were UTC.
func digits(at time.Time, z *time.Location) time.Time {
	return at.UTC().Add(offset(at, z))
}

// TRADE 2.9: "10 March 10:10 +00:00 to 10 April 10:40 +01:00 is 743.5 h, not
// 744.5".
func TestLengthAcrossSpring(t *testing.T) {
	now := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	from, _, err1 := ParseTime("2026-03-10 10:10", now, zone(t, "Europe/London"))
	to, _, err2 := ParseTime("2026-04-10 10:40", now, zone(t, "Europe/London"))
	lo, hi := Length(from, to)
	if err1 != nil || err2 != nil || lo != 743*hour+30*minute || hi != lo {
		t.Errorf("%v to %v: %v, %v %v", from, to, lo, err1, err2)
	}
}

// What a clock change makes doubtful is said in words; a time to come is not.
func TestInDoubt(t *testing.T) {
	for want, doubts := range map[string][]Doubt{
		"":               {Future},
		"exists twice":   {Future, Twice},
		"does not exist": {Missing},
	} {
		if got := InDoubt(doubts); !strings.Contains(got, want) || (got == "") != (want == "") {
			t.Errorf("%v: %q", doubts, got)
		}
	}
}
