// Package wording is the one English of a study: it turns typed facts into the
// sentences that screens, pages, slides and tables show, so that all of them
// say the same. It decides nothing and knows no terminal.
//
// Each file words one noun; a function takes the typed fact and, where one is
// shown, the zone of the study.
package wording

import (
	"cmp"
	"fmt"
	"time"

	"soaktag/schedule"
)

// Time writes an instant for a person: weekday, date, time and zone.
func Time(t time.Time, zone *time.Location) string {
	return t.In(zone).Format("Mon 2006-01-02 15:04 MST")
}

// Span writes an instant, or the range that it lies in, for a person.
func Span(s schedule.Span, zone *time.Location) string {
	switch {
	case s.IsZero():
		return "a time not known"
	case s.Exact():
		return Time(s.From, zone)
	case s.From.IsZero():
		return "up to " + Time(s.To, zone)
	case s.To.IsZero():
		return Time(s.From, zone) + " or later"
	}
	return Time(s.From, zone) + " to " + Time(s.To, zone)
}

// Undoubted says for what a time that a clock change makes doubtful was taken, what
// else it may mean, and how each is written without doubt; empty for other doubts.
func Undoubted(taken schedule.Span, d schedule.Doubt, zone *time.Location) string {
	may := readings(taken, d, zone)
	if may == nil {
		return ""
	}
	return fmt.Sprintf("taken as %s; it may also mean %s", unmistakable(may[0], zone), unmistakable(may[1], zone))
}

// UndoubtedEntry is Undoubted of what a command records, with what puts it right
// if the other was meant.
func UndoubtedEntry(taken schedule.Span, d schedule.Doubt, zone *time.Location) string {
	text := Undoubted(taken, d, zone)
	if text == "" {
		return ""
	}
	return fmt.Sprintf("%s: give --at so, or afterwards soaktag amend correct --command last at=%q --reason \"why\"",
		text, cmp.Or(schedule.Written(readings(taken, d, zone)[1], zone)))
}

// readings are the instants that the doubtful end of a span may mean.
func readings(taken schedule.Span, d schedule.Doubt, zone *time.Location) []time.Time {
	for _, end := range []time.Time{taken.From, taken.To} {
		if may := schedule.Readings(end, d, zone); len(may) > 1 {
			return may
		}
	}
	return nil
}

// unmistakable is an instant in both ways that leave no doubt.
func unmistakable(t time.Time, zone *time.Location) string {
	named, offset := schedule.Written(t, zone)
	if named == "" {
		return fmt.Sprintf("%q", offset)
	}
	return fmt.Sprintf("%q (or %q)", named, offset)
}

// Signed writes a difference to the minute, a longer time with a plus sign.
func Signed(d time.Duration) string {
	d = d.Round(time.Minute)
	switch {
	case d == 0:
		return "0"
	case d < 0:
		return "-" + ToMinute(-d)
	}
	return "+" + ToMinute(d)
}

// ToMinute writes a length to the minute, however long it is: beside a drift of
// minutes "7 d" would be a riddle.
func ToMinute(d time.Duration) string {
	if d = d.Round(time.Minute); d != 0 {
		return schedule.Exact(d)
	}
	return "0 min"
}
