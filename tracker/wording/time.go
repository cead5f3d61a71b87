// Package wording is the one English of a study: it turns typed facts into the
// sentences that screens, pages, slides and tables show, so that all of them
// say the same. It decides nothing and knows no terminal.
//
// Each file words one noun; a function takes the typed fact and, where one is
// shown, the zone of the study.
package wording

import (
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

// Signed writes a difference to the minute, a longer time with a plus sign.
func Signed(d time.Duration) string {
	d = d.Round(time.Minute)
	switch {
	case d == 0:
		return "0"
	case d < 0:
		return schedule.Short(d)
	}
	return "+" + schedule.Short(d)
}
