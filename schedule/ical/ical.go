// Package ical writes due windows as an RFC 5545 calendar, which a phone's or
// a desk's calendar can show and ring an alarm for.
//
// Every time is written in UTC, so that no reader needs our zones, and every
// event keeps its UID for life: a date that moves replaces the old one in the
// reader's calendar instead of standing beside it. The section numbers below
// are those of RFC 5545 (September 2009).
package ical

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"
)

// ErrEmpty is returned for no events at all: a calendar must hold at least
// one component (3.6).
var ErrEmpty = errors.New("nothing to put into a calendar")

// An Event is one thing to be done.
type Event struct {
	UID         string    // the same for life, unique, at most 255 octets (3.8.4.7)
	Start       time.Time // when its window opens; kept to the second
	End         time.Time // when its window closes; zero, or equal to Start, for an instant
	Summary     string    // a line; must not be empty
	Description string    // may have several lines, may be empty
	Sequence    int       // how often the event was moved, from 0 (3.8.7.4)
}

const uidLimit = 255

// Write writes the events, soonest first, as one calendar. The stamp says when
// they were last worked out (3.8.7.2); the same events and stamp give the
// same bytes. An alarm longer than nothing is shown that long before each
// Start.
//
// Text is made safe rather than refused: invalid UTF-8 becomes U+FFFD, every
// kind of line break a line break, and other control characters are dropped.
// Errors are ErrEmpty, an event that no calendar can hold (named by its UID),
// or w's own; nothing is written unless all events are good.
func Write(w io.Writer, events []Event, stamp time.Time, alarm time.Duration) error {
	if len(events) == 0 {
		return ErrEmpty
	}
	if err := check(events, stamp); err != nil {
		return err
	}
	cal := ics.NewCalendar()
	cal.SetProductId("-//soaktag//soaktag//EN") // else it names the library
	for _, e := range soonestFirst(events) {
		e.addTo(cal, stamp, alarm)
	}
	// The library does not look at every write's error; a buffer has none.
	var b bytes.Buffer
	if err := cal.SerializeTo(&b, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("write calendar: %w", err)
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("write calendar: %w", err)
	}
	return nil
}

func soonestFirst(events []Event) []Event {
	sorted := slices.Clone(events)
	slices.SortStableFunc(sorted, func(a, b Event) int {
		return cmp.Or(a.Start.Compare(b.Start), strings.Compare(a.UID, b.UID))
	})
	return sorted
}

func (e Event) addTo(cal *ics.Calendar, stamp time.Time, alarm time.Duration) {
	v := cal.AddEvent(e.UID)
	v.SetDtStampTime(stamp)
	v.SetStartAt(e.Start)
	// An end at the start is not allowed (3.8.2.2); without one the event is
	// an instant (3.6.1).
	if e.End.Unix() > e.Start.Unix() {
		v.SetEndAt(e.End)
	}
	v.SetSequence(e.Sequence)
	v.SetSummary(clean(e.Summary))
	if text := clean(e.Description); text != "" {
		v.SetDescription(text)
	}
	// A window of days must not make the person look busy for days.
	v.SetTimeTransparency(ics.TransparencyTransparent)
	if alarm >= time.Second {
		ring(v.AddAlarm(), clean(e.Summary), alarm)
	}
}

// ring makes a an alarm that is shown; that kind needs a text of its own
// (3.6.6).
func ring(a *ics.VAlarm, text string, before time.Duration) {
	a.SetAction(ics.ActionDisplay)
	a.SetTrigger("-" + duration(before))
	a.SetDescription(text)
}

// duration writes d, at least a second, as in 3.3.6: "PT1H", "P1DT30M". It
// has no months or years, and weeks may not be mixed with the rest.
func duration(d time.Duration) string {
	var date, clock string
	part := func(size time.Duration, letter string) string {
		n := d / size
		d %= size
		if n == 0 {
			return ""
		}
		return fmt.Sprintf("%d%s", n, letter)
	}
	date = part(24*time.Hour, "D")
	clock = part(time.Hour, "H")
	// Minutes may not be left out between hours and seconds.
	minutes, seconds := d/time.Minute, d%time.Minute/time.Second
	if minutes > 0 || (clock != "" && seconds > 0) {
		clock += fmt.Sprintf("%dM", minutes)
	}
	if seconds > 0 {
		clock += fmt.Sprintf("%dS", seconds)
	}
	if clock != "" {
		clock = "T" + clock
	}
	return "P" + date + clock
}

// lineBreaks are all the ways to end a line; RFC text knows one.
var lineBreaks = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n")

// clean keeps what TEXT may hold (3.3.11): no control characters but tabs and
// the line breaks that will be escaped, and nothing that is not UTF-8 (3.1.4).
func clean(s string) string {
	s = lineBreaks.Replace(strings.ToValidUTF8(s, "\uFFFD"))
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return -1
		}
		return r
	}, s)
}
