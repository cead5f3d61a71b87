package wording

import (
	"regexp"
	"time"
)

// fullTime is an instant as Time writes it, its zone as HTML may have it.
var fullTime = regexp.MustCompile(`\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) (\d{4}-\d\d-\d\d \d\d:\d\d) ([A-Z]{2,5}|(?:[+-]|&#43;)\d{2,4})`)

// Near shortens every time that a page says to what a person near it needs: of today
// the time alone, within a week the weekday and the time, else the date. A time that
// the clock shows twice, as it is set back, keeps its zone.
func Near(page []byte, now time.Time, zone *time.Location) []byte {
	return fullTime.ReplaceAllFunc(page, func(text []byte) []byte {
		part := fullTime.FindSubmatch(text)
		at, ok := inZone(string(part[1]), string(part[2]), zone)
		if !ok {
			return text
		}
		short := nearTime(at, now.In(zone))
		if twice(at) {
			short += " " + string(part[2])
		}
		return []byte(short)
	})
}

// inZone is the instant that a clock and the name of its hour stand for.
func inZone(clock, name string, zone *time.Location) (time.Time, bool) {
	at, err := time.ParseInLocation("2006-01-02 15:04", clock, zone)
	if err != nil {
		return at, false
	}
	for _, may := range []time.Time{at, at.Add(-time.Hour), at.Add(time.Hour)} {
		if may.Format("2006-01-02 15:04") == clock && may.Format("MST") == name {
			return may, true
		}
	}
	return at, true
}

func nearTime(at, now time.Time) string {
	switch days := calendarDays(at) - calendarDays(now); {
	case days == 0:
		return at.Format("15:04")
	case -7 < days && days < 7:
		return at.Format("Mon 15:04")
	case at.Year() == now.Year():
		return at.Format("2 Jan 15:04")
	}
	return at.Format("2 Jan 2006 15:04")
}

// calendarDays counts days of the calendar, whatever their length.
func calendarDays(t time.Time) int64 {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400
}

// twice reports whether the clock shows the same again an hour before or after.
func twice(at time.Time) bool {
	clock := at.Format("2006-01-02 15:04")
	return at.Add(time.Hour).Format("2006-01-02 15:04") == clock || at.Add(-time.Hour).Format("2006-01-02 15:04") == clock
}
