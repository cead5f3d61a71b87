package schedule

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// ParseTime reads when something happened, as people write it:
//
//	now                             the moment given
//	-2h30m                          that long before it
//	18:10   today 18:10             today in the zone
//	yesterday 18:10                 the day before
//	fri 18:10                       the last one that is not after now
//	2026-03-27 18:10                in the zone; T may stand for the space
//	2026-03-27T18:10:05+01:00       with its own offset, or Z
//	A..B   ..B   A..                somewhere between the two; open at one end
//	A+-10m                          within 10 minutes of A
//
// Seconds are optional throughout. A bare time of day after ".." belongs to
// the day that A names, or to the next if it would come before A.
//
// A doubt does not stop the reading; it asks: an instant after now, one that
// a clock change jumped over (taken as if the clock had not been changed, so
// the later reading), one that happened twice (the first is taken). Errors
// quote the text and say what can be written. A nil zone means UTC; the
// instants returned are in UTC.
func ParseTime(text string, now time.Time, zone *time.Location) (Span, []Doubt, error) {
	if zone == nil {
		zone = time.UTC
	}
	r := reader{now: now, zone: zone}
	s, err := r.span(strings.ToLower(strings.Join(strings.Fields(text), " ")))
	if err == nil && (beyond(s.From) || beyond(s.To)) {
		err = fmt.Errorf("no study was in that year; write it as in 2026-03-27 18:10")
	}
	if err != nil {
		return Span{}, nil, fmt.Errorf("time %q: %w", clip(text), err)
	}
	return s, r.doubts, nil
}

// beyond reports whether an instant lies where nobody kept a log, and where its
// arithmetic ends: a length holds 292 years.
func beyond(t time.Time) bool {
	return !t.IsZero() && (t.Year() < 1900 || t.Year() > 2199)
}

// A reader holds what the words of one time are relative to.
type reader struct {
	now    time.Time
	zone   *time.Location
	doubts []Doubt
}

func (r *reader) span(s string) (Span, error) {
	if a, b, ok := strings.Cut(s, ".."); ok {
		return r.between(strings.TrimSpace(a), strings.TrimSpace(b))
	}
	for _, sign := range []string{"+-", "+/-", "±"} {
		if a, d, ok := strings.Cut(s, sign); ok {
			return r.around(strings.TrimSpace(a), d)
		}
	}
	t, err := r.point(s)
	return At(t), err
}

func (r *reader) around(a, d string) (Span, error) {
	slack, err := readDuration(d, "m")
	if err != nil {
		return Span{}, fmt.Errorf("after +-: %w", err)
	}
	t, err := r.point(a)
	return Span{t.Add(-slack), t.Add(slack)}, err
}

func (r *reader) between(a, b string) (s Span, err error) {
	if a == "" && b == "" {
		return s, fmt.Errorf("both ends are open; give at least one of them")
	}
	if a != "" {
		if s.From, err = r.point(a); err != nil {
			return Span{}, err
		}
	}
	if b != "" {
		if s.To, err = r.end(s.From, a, b); err != nil {
			return Span{}, err
		}
	}
	if a != "" && b != "" && s.To.Before(s.From) {
		return Span{}, fmt.Errorf("the range ends before it begins; name the day, yesterday 18:10..09:00")
	}
	return s, nil
}

// end reads the far end of a range that begins at from, written a.
func (r *reader) end(from time.Time, a, b string) (time.Time, error) {
	clock, bare := readClock(b)
	if _, undated := readClock(a); !bare || undated || a == "" || a == "now" {
		return r.point(b)
	}
	day := from.In(r.zone)
	t, doubts := instant(on(day, 0, clock), r.zone)
	if t.Before(from) {
		t, doubts = instant(on(day, 1, clock), r.zone)
	}
	return r.note(t, doubts), nil
}

// point reads one instant. The order matters only for the error at the end.
func (r *reader) point(s string) (time.Time, error) {
	if s == "now" {
		return r.now.UTC(), nil
	}
	if back, ok := strings.CutPrefix(s, "-"); ok {
		d, err := readDuration(back, "m")
		return r.now.Add(-d).UTC(), err
	}
	if t, ok := readStamp(s, "Z07:00"); ok {
		return r.note(t, nil), nil
	}
	if wall, ok := readStamp(s, ""); ok {
		return r.note(instant(wall, r.zone)), nil
	}
	if t, doubts, ok := r.named(s); ok {
		return r.note(t, doubts), nil
	}
	return time.Time{}, fmt.Errorf("write now, -2h30m, 18:10, yesterday 18:10, fri 18:10 or 2026-03-27 18:10")
}

// note keeps the doubts about an instant, each once.
func (r *reader) note(t time.Time, doubts []Doubt) time.Time {
	if t.After(r.now) {
		doubts = append(slices.Clip(doubts), Future)
	}
	for _, d := range doubts {
		if !slices.Contains(r.doubts, d) {
			r.doubts = append(r.doubts, d)
		}
	}
	return t.UTC()
}

// named reads a time of day, alone or after the name of a day.
func (r *reader) named(s string) (time.Time, []Doubt, bool) {
	day, text, ok := strings.Cut(s, " ")
	if !ok {
		day, text = "today", s
	}
	clock, ok := readClock(text)
	if !ok {
		return time.Time{}, nil, false
	}
	today := r.now.In(r.zone)
	switch day {
	case "today":
		t, doubts := instant(on(today, 0, clock), r.zone)
		return t, doubts, true
	case "yesterday":
		t, doubts := instant(on(today, -1, clock), r.zone)
		return t, doubts, true
	}
	weekday, ok := readWeekday(day)
	if !ok {
		return time.Time{}, nil, false
	}
	back := (int(today.Weekday()) - int(weekday) + 7) % 7
	t, doubts := instant(on(today, -back, clock), r.zone)
	if t.After(r.now) {
		t, doubts = instant(on(today, -back-7, clock), r.zone)
	}
	return t, doubts, true
}

// on puts a time of day on the date so many days after that of day.
func on(day time.Time, days int, clock time.Time) time.Time {
	return time.Date(day.Year(), day.Month(), day.Day()+days, clock.Hour(), clock.Minute(), clock.Second(), clock.Nanosecond(), time.UTC)
}

func readWeekday(s string) (time.Weekday, bool) {
	for d := time.Sunday; d <= time.Saturday; d++ {
		name := strings.ToLower(d.String())
		if s == name || s == name[:3] {
			return d, true
		}
	}
	return 0, false
}

func readClock(s string) (time.Time, bool) {
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

// readStamp reads a date and a time of day, with an offset if one is asked for.
func readStamp(s, offset string) (time.Time, bool) {
	if len(s) > 10 && s[10] == 't' {
		s = s[:10] + " " + s[11:]
	}
	s = strings.ToUpper(s)
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05"} {
		if t, err := time.Parse(layout+offset, s); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}
