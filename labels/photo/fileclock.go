package photo

import (
	"strings"
	"time"
)

// A clock symbol shows the time, so that a photograph of it tells by how much
// the camera's own clock is off. It has the mark of a card, and nineteen
// characters, which fit the second smallest symbol.
const (
	clockMark   = ".CLOCK"
	clockLayout = "20060102150405"
)

// ClockText returns what stands in a clock symbol at an instant, to the second
// and in UTC: .CLOCK20260321101530.
func ClockText(t time.Time) string { return clockMark + t.UTC().Format(clockLayout) }

// The years that a clock symbol may show: one that shows another would move the
// times of a camera by decades.
const firstYear, lastYear = 2020, 2199

// ParseClock reads the text of a clock symbol.
func ParseClock(text string) (time.Time, bool) {
	digits, found := strings.CutPrefix(text, clockMark)
	if !found || len(digits) != len(clockLayout) {
		return time.Time{}, false
	}
	t, err := time.Parse(clockLayout, digits)
	return t, err == nil && firstYear <= t.Year() && t.Year() <= lastYear
}
