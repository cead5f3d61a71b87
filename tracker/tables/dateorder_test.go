package tables_test

import (
	"strings"
	"testing"
	"time"

	"soaktag/tracker/tables"
)

// A date that may be two days is read as the others of its file must be, and
// where they settle nothing all such dates are one problem.
func TestTheFileSettlesWhichIsTheMonth(t *testing.T) {
	for _, c := range []struct{ dates, read, said string }{
		{"1/11/2026 6:51 PM|1/28/2026 18:00", "2026-01-11 2026-01-28", "b.csv:2: 1/11/2026 is read as month/day/year, as 1/28/2026 in line 3 must be"},
		{"28/1/2026 18:00|2/1/2026|5/1/2026 9:00", "2026-01-28 2026-01-02 2026-01-05", "b.csv:3: 2/1/2026 and 1 more are read as day/month/year, as 28/1/2026 in line 2 must be"},
		{"1/28/2026 18:00|1/11/2026 18:00..1/12/2026 09:00", "2026-01-28 2026-01-11", "1/11/2026 and 1 more are"},
		{"3/3/2026 18:00|2/1/2026 9:00", "", "b.csv:3: at: 2/1/2026 may be 2 January or 1 February, and nothing in the file settles it; write 2026-01-02 or 2026-02-01: in a spreadsheet"},
		{"2/1/2026 9:00|3/1/2026 9:00|5/1/2026 9:00", "", "write 2026-01-02 or 2026-02-01, likewise in lines 3, 4: in"},
		{"1/28/2026 18:00|28/1/2026 18:00|2/1/2026 9:00", "", "the file has both: 1/28/2026 in line 2 is month/day/year, 28/1/2026 in line 3 is day/month/year"},
		{"28.1.2026 18:00|2026-01-28|2/1/2026 9:00", "", "nothing in the file settles it"},
		{"28-01-2026 18:00|2/1/2026 9:00", "", "nothing in the file settles it"},
		{"1/28/2026 18:00|28/1/2026 18:00|3/3/2026", "2026-01-28 2026-01-28 2026-03-03", ""},
	} {
		text := "specimen,stage,at\n"
		for _, d := range strings.Split(c.dates, "|") {
			text += "RF-D1,cut," + d + "\n"
		}
		events, warnings, err := tables.ReadEvents("b.csv", strings.NewReader(text), begun(t), now)
		var days []string
		for _, e := range events {
			days = append(days, e.At.From.Format(time.DateOnly))
		}
		said := strings.Join(warnings, "\n")
		if err != nil {
			said = err.Error()
		}
		if got := strings.Join(days, " "); got != c.read || !strings.Contains(said, c.said) || strings.Contains(said, "\n") || c.said == "" && said != "" {
			t.Errorf("%s: read %s, want %s; said %q, want %q", c.dates, got, c.read, said, c.said)
		}
	}
}

// A row keeps its identity however the others of its file settle its date.
func TestASettledDateIsTheSameEvent(t *testing.T) {
	r := begun(t)
	const head, us = "specimen,stage,at\n", "RF-D1,cut,1/11/2026 6:51 PM\nRF-D2,cut,1/28/2026 18:00\n"
	for i, story := range [][2]string{
		{head + "RF-D1,cut,2026-01-11 18:51\n", "1 0 0"}, {head + us, "1 0 1"}, {head + us, "0 0 2"},
		{head + "RF-D1,cut,11/1/2026 18:51\nRF-D2,cut,28/1/2026 18:00\n", "0 0 2"},
	} {
		if got := came(t, r, story[0]); got != story[1] {
			t.Errorf("table %d comes to %s, want %s", i+1, got, story[1])
		}
	}
}
