package wording

import (
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// wrote is an entry that was written up so many hours after it happened.
func wrote(via string, hours int, kind tracker.Kind) tracker.Entry {
	at := time.Date(2026, 10, 1, 10, 0, 0, 0, time.UTC)
	return tracker.Entry{Event: tracker.Event{Kind: kind, Via: via, At: schedule.At(at), Recorded: at.Add(time.Duration(hours) * time.Hour)}, Span: schedule.At(at)}
}

// A notebook is written up: that is said once, of what was typed and of a table alike.
func TestWrittenUpOnce(t *testing.T) {
	late := tracker.Mark{Rule: "written up later", About: tracker.WrittenLate{By: 48 * time.Hour}}
	other := tracker.Mark{Rule: "exchanged", About: tracker.Swapped{Code: "BEN-002-E"}}
	voided := wrote("typed", 99, tracker.Staged)
	voided.Voided = true
	for _, test := range []struct {
		entries []tracker.Entry
		want    []string
	}{
		{nil, nil},
		{[]tracker.Entry{wrote("typed", 0, tracker.Staged), wrote("typed", 99, tracker.Measured)}, nil},
		{[]tracker.Entry{wrote("typed", 48, tracker.Staged)}, []string{"noted  one entry written up 2 d after it happened"}},
		{[]tracker.Entry{wrote("typed", 48, tracker.Staged), wrote("import", 48, tracker.Tried)}, []string{"noted  2 entries written up 2 d after they happened"}},
		{[]tracker.Entry{wrote("bath", 48, tracker.Staged), wrote("import", 72, tracker.Staged), wrote("scan", 5, tracker.Staged), wrote("photo", 500, tracker.Staged), voided},
			[]string{"noted  3 entries written up later, 5 h to 3 d after they happened"}},
	} {
		want := append(slices.Clone(test.want), "noted  read from the label of BEN-002-E: the two labels were exchanged then")
		if got := LifeMarks([]tracker.Mark{late, other, late, other}, test.entries); !slices.Equal(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Nobody is late with what a notebook says of then: the window stays, the lateness
// of today goes.
func TestRecordedLater(t *testing.T) {
	for hours, overdue := range map[int]bool{0: true, 48: false} {
		entry := wrote("import", hours, tracker.Staged).Event
		entry.Code, entry.Stage = "BEN-001-G", schedule.GlueUp
		due := tracker.Due{Stage: schedule.ClampRemoval, State: schedule.Overdue, Over: 24 * time.Hour, Window: schedule.Window{Closes: entry.At.From.Add(24 * time.Hour)}}
		text := Recorded(tracker.Verdict{Event: entry, Next: &due}, time.UTC)
		if strings.Contains(text, "overdue by 1 d") != overdue || !strings.Contains(text, "clamp removal by Fri 2026-10-02 10:00 UTC") {
			t.Errorf("%d h: %s", hours, text)
		}
	}
}
