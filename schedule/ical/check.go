package ical

import (
	"fmt"
	"time"
)

// check finds what no calendar can hold.
func check(events []Event, stamp time.Time) error {
	if !writable(stamp) {
		return fmt.Errorf("calendar: the stamp %v is outside the years 1 to 9999", stamp)
	}
	seen := make(map[string]bool, len(events))
	for _, e := range events {
		if seen[e.UID] {
			return fmt.Errorf("calendar event %q: another event has the same UID", e.UID)
		}
		seen[e.UID] = true
		if err := e.check(); err != nil {
			return fmt.Errorf("calendar event %q: %w", e.UID, err)
		}
	}
	return nil
}

func (e Event) check() error {
	switch {
	case e.UID == "" || len(e.UID) > uidLimit || clean(e.UID) != e.UID:
		return fmt.Errorf("the UID must be 1 to %d octets of plain text", uidLimit)
	case clean(e.Summary) == "":
		return fmt.Errorf("the summary is empty")
	case e.Start.IsZero() || !writable(e.Start):
		return fmt.Errorf("the start %v is not given or outside the years 1 to 9999", e.Start)
	case !e.End.IsZero() && (e.End.Before(e.Start) || !writable(e.End)):
		return fmt.Errorf("the end %v is before the start or after the year 9999", e.End)
	case e.Sequence < 0:
		return fmt.Errorf("the sequence %d is less than 0", e.Sequence)
	}
	return nil
}

// writable reports whether t fits the four digits of a year (3.3.4).
func writable(t time.Time) bool {
	y := t.UTC().Year()
	return y >= 1 && y <= 9999
}
