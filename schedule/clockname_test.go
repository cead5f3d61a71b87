package schedule

import (
	"strings"
	"testing"
	"time"
)

// What exists twice or not at all is settled by what the clocks are called, by the
// letters of the zone itself only. The changes are those of the zone database (IANA):
// New York 8 March and 1 November 2026, London 29 March and 25 October 2026.
func TestClocksByName(t *testing.T) {
	now := time.Date(2026, 11, 20, 12, 0, 0, 0, time.UTC)
	for _, test := range []struct{ zone, text, from, to string }{
		{"America/New_York", "1 Nov 1:30 EDT", "2026-11-01T05:30", ""},
		{"America/New_York", "1 Nov 1:30 EST", "2026-11-01T06:30", ""},
		{"America/New_York", "1 nov 1:30 am est", "2026-11-01T06:30", ""},
		{"America/New_York", "2026-11-01 01:30-05:00", "2026-11-01T06:30", ""},
		{"America/New_York", "1 Nov 1:30 EDT..1:30 EST", "2026-11-01T05:30", "2026-11-01T06:30"},
		{"America/New_York", "1 Nov 1:30 EST +-10m", "", ""},
		{"America/New_York", "2026-03-08 02:30 EST", "2026-03-08T07:30", ""}, // read as the clock was
		{"America/New_York", "2026-03-08 02:30 EDT", "2026-03-08T06:30", ""},
		{"America/New_York", "2026-07-01 10:00 EDT", "2026-07-01T14:00", ""},
		{"America/New_York", "6:10 pm EST", "2026-11-20T23:10", ""},
		{"Europe/London", "2026-10-25 01:30 BST", "2026-10-25T00:30", ""},
		{"Europe/London", "2026-10-25 01:30 gmt", "2026-10-25T01:30", ""},
		{"Europe/London", "2026-10-25T01:30 GMT", "2026-10-25T01:30", ""},
		{"America/Sao_Paulo", "2026-10-25 01:30-03:00", "2026-10-25T04:30", ""}, // its clocks have no name but a number
		{"America/New_York", "2026-07-01 10:00 EST", "not on EST then", ""},
		{"Europe/London", "2026-07-01 10:00 GMT", "or write the offset: 2026-07-01 10:00+01:00", ""},
		{"Europe/London", "2026-10-25 01:30 EST", "write now", ""}, // other letters mean clocks elsewhere
		{"America/Sao_Paulo", "2026-10-25 01:30 BRT", "write now", ""},
	} {
		got, doubts, err := ParseTime(test.text, now, zone(t, test.zone))
		if !strings.HasPrefix(test.from, "2026") && test.from != "" {
			if err == nil || !strings.Contains(err.Error(), test.from) {
				t.Errorf("%s %s: %v, %v, want the error %q", test.zone, test.text, got, err, test.from)
			}
			continue
		}
		to := test.to
		if to == "" {
			to = test.from
		}
		want := Span{utc(t, test.from), utc(t, to)}
		if test.from == "" {
			want = Span{utc(t, "2026-11-01T06:20"), utc(t, "2026-11-01T06:40")}
		}
		for _, d := range doubts {
			if d != Future {
				t.Errorf("%s: still %s", test.text, d)
			}
		}
		if err != nil || got != want {
			t.Errorf("%s %s: %v, %v, want %v", test.zone, test.text, got, err, want)
		}
	}
}

// Around every clock change: what is in doubt has two readings, the first is what
// was taken, both are written without doubt, and what is in no doubt has none.
func TestReadingsAroundEveryChange(t *testing.T) {
	seen := map[Doubt]int{}
	for _, name := range zones {
		z := zone(t, name)
		for _, change := range changes(z) {
			jump := offset(change, z) - offset(change.Add(-minute), z)
			if change.Year() < 1970 || jump%minute != 0 || max(jump, -jump) > 3*hour || jump == 0 {
				continue
			}
			for m := -90; m <= 90; m += 15 {
				wall := digits(change.Add(-minute), z).Add(time.Duration(m) * minute)
				taken, doubts := instant(wall, z)
				if len(doubts) == 0 {
					if may := Readings(taken, Twice, z); may != nil {
						t.Errorf("%s %v is in no doubt, and may be %v", name, wall, may)
					}
					continue
				}
				seen[doubts[0]]++
				checkReadings(t, taken, doubts[0], z)
			}
		}
	}
	if seen[Twice] < 500 || seen[Missing] < 500 {
		t.Errorf("%v seen", seen)
	}
}

func checkReadings(t *testing.T, taken time.Time, d Doubt, z *time.Location) {
	t.Helper()
	may := Readings(taken, d, z)
	if len(may) < 2 || !may[0].Equal(taken) || may[1].Equal(taken) {
		t.Fatalf("%v %s in %s may be %v", taken, d, z, may)
	}
	for _, at := range may {
		named, offset := Written(at, z)
		for _, text := range []string{named, offset} {
			if text == "" {
				continue
			}
			back, doubts, err := ParseTime(text, at.Add(hour), z)
			if err != nil || len(doubts) > 0 || !back.From.Equal(at.Truncate(minute)) {
				t.Errorf("%v in %s is written %q, which is read %v, %v, %v", at, z, text, back, doubts, err)
			}
		}
	}
}
