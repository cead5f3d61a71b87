package wording

import (
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// What a clock showed is told in the zone of the study: 2026-11-03 18:30 in New York,
// three days after the clocks went back there (first Sunday in November, US Code
// title 15, section 260a), is 23:30 UTC.
func TestWhatAClockShowedIsToldInTheZoneOfTheStudy(t *testing.T) {
	york, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 11, 3, 23, 30, 0, 0, time.UTC)
	for shown, want := range map[time.Time]string{
		at.Add(time.Hour):       "showed 19:30:00",
		at.Add(6 * time.Hour):   "showed 2026-11-04 00:30:00",
		at.AddDate(-20, 0, 0):   "showed 2006-11-03 18:30:00",
		at.Add(7 * time.Second): "showed 18:30:07",
	} {
		e := tracker.Event{Kind: tracker.ClockSeen, At: schedule.At(at), Device: "camera", Shown: shown}
		if got := What(e, york); got != want {
			t.Errorf("%v is told as %q, want %q", shown, got, want)
		}
	}
	if got := What(tracker.Event{Kind: tracker.ClockSeen}, nil); got != "clock" {
		t.Errorf("without a zone %q", got)
	}
}
