package tables_test

import (
	"strings"
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/tables"
)

// A file that a spreadsheet has saved again is the same file: what it says is
// what counts, not how it spells it (common practice, no published source).
func TestAFileSavedAgainAddsNothing(t *testing.T) {
	r := begun(t)
	const head = "specimen,stage,at,plus_minus_min,recorded_at,reading,rig,ended,wood_failure_pct,mass_after_g,note\n"
	was := head +
		"EPX-D1,cut,2026-02-21 09:33,,,,,,,,dry\n" +
		"EPX-D2,glue-up,2026-02-21T16:00..2026-02-21T16:20,,2026-02-22 08:00,,,,,,\n" +
		"EPX-D1,break,2026-03-17T10:00:00+01:00,,,4.5 MPa,press,separated,40,57.3,\n"
	now := head +
		"epx-d1,CUT,2026-02-21T09:33:00Z,0,,,,,,, dry\n" +
		"EPX-D2,Glue-up,2026-02-21 16:10,10.0,2026-02-22T09:00+01:00,,,,,,\n" +
		"EPX-D1,break,2026-03-17 09:00:00.000,,,4.50 MPa,Press,Separated,40.0 %,57.30,\n"
	if n := add(t, r, mustRead(t, r, was)...); n != 4 {
		t.Fatalf("%d events", n)
	}
	if n := add(t, r, mustRead(t, r, now)...); n != 0 {
		t.Errorf("%d events added by the same file in another spelling", n)
	}
	for what, other := range map[string]string{
		"a minute":     strings.Replace(now, "09:33", "09:34", 1),
		"a kind":       strings.Replace(now, "4.50 MPa", "4.50 N", 1),
		"a percentage": strings.Replace(now, "40.0", "40.5", 1),
		"a note":       strings.Replace(now, "dry", "wet", 1),
		"a mass":       strings.Replace(now, "57.30", "57.31", 1),
	} {
		events, known := mustRead(t, r, other), 0
		for _, e := range events {
			if _, ok := r.Event(e.ID); ok {
				known++
			}
		}
		if known == len(events) {
			t.Errorf("%s more or less changes no id", what)
		}
	}
}

func mustRead(t *testing.T, r *tracker.Record, text string) []tracker.Event {
	t.Helper()
	events, _, err := tables.ReadEvents("f.csv", strings.NewReader(text), r, now)
	if err != nil {
		t.Fatal(err)
	}
	return events
}

// A time in a file had better name its date: one that counts from now is
// another time in every import, so it is taken with a warning, and the same
// file read again a minute later still adds nothing.
func TestTimesInAFileNameTheirDate(t *testing.T) {
	r := begun(t)
	for _, at := range []string{"-1m", "now", "09:10", "fri 18:10", "yesterday 18:10", "today 09:00", "..09:00", "fri 18:10..",
		"2026-02-21 10:00..now", "-2h..-1h", "09:10+-10m"} {
		text := "specimen,stage,at\nEPX-D1,cut,2026-02-21 09:33\nEPX-D2,cut," + at + "\n"
		events, warnings, err := tables.ReadEvents("f.csv", strings.NewReader(text), r, now)
		if said := strings.Join(warnings, "\n"); err != nil || !strings.Contains(said, "f.csv:3: at ") || !strings.Contains(said, "write the date as well") {
			t.Errorf("%s: %v, warnings %q", at, err, said)
			continue
		}
		again, _, _ := tables.ReadEvents("f.csv", strings.NewReader(text), r, now.Add(time.Minute))
		if len(again) != 2 || again[1].ID != events[1].ID {
			t.Errorf("%s: read again it is another event", at)
		}
	}
	for _, at := range []string{"2026-02-21 09:33..10:15", "2026-02-21 22:00..06:00", "..2026-02-21 09:33", "2026-02-21 09:33+-10m", "2026-02-21T09:33Z.."} {
		for _, later := range []time.Duration{0, 40 * 24 * time.Hour} {
			text := "specimen,stage,at\nEPX-D1,cut," + at + "\n"
			if _, _, err := tables.ReadEvents("f.csv", strings.NewReader(text), r, now.Add(later)); err != nil {
				t.Errorf("%s: %v", at, err)
			}
		}
	}
}

// A date alone is the day; the same file adds nothing, whether it is read again on
// that day or later. A date that could be two is refused with both.
func TestDaysInAFile(t *testing.T) {
	r := begun(t)
	id := func(at string, when time.Time) string {
		events, _, err := tables.ReadEvents("f.csv", strings.NewReader("specimen,stage,at\nEPX-D1,cut,"+at+"\n"), r, when)
		if err != nil {
			t.Fatal(err)
		}
		return events[0].ID
	}
	for _, at := range []string{now.Format("2006-01-02"), now.Format("2006/1/2"), now.Format("2.1.2006"), now.Format("2006-01-02") + ".."} {
		if first := id(at, now); first != id(at, now.Add(time.Hour)) || first != id(at, now.AddDate(0, 0, 3)) {
			t.Errorf("%s: read again it is another event", at)
		}
	}
	if id("2026-02-20 18:10", now) != id("20.02.2026 18:10", now) || id("2026-02-20 18:10", now) != id("2/20/2026 6:10 PM", now) {
		t.Error("another spelling of the same time is another event")
	}
	_, _, err := tables.ReadEvents("f.csv", strings.NewReader("specimen,stage,at\nEPX-D1,cut,03/02/2026 18:10\n"), r, now)
	if err == nil || !strings.Contains(err.Error(), "f.csv:2: at: 03/02/2026 may be") || !strings.Contains(err.Error(), "3 February or 2 March") {
		t.Errorf("a date that could be two: %v", err)
	}
}
