package schedule

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// ParseTime reads when something happened, as people and spreadsheets write it:
//
//	now                             the moment given
//	-2h30m                          that long before it
//	18:10   6:10 pm   6pm           today in the zone; a day's name or date may stand before it
//	yesterday 18:10                 the day before
//	fri 18:10                       the last one that is not after now
//	2026-03-27 18:10                in the zone; T may stand for the space
//	2026-03-27T18:10:05+01:00       with its own offset, or Z
//	1 Nov 1:30 EST                  by what the zone calls its clocks then: settles what exists twice
//	27.3.2026 18:10   27 Mar 18:10  days of other forms, see readDate; without a year the last one
//	2026-03-27   yesterday   fri    a day alone: some time on it, at the latest now
//	A..B   ..B   A..                somewhere between the two; open at one end
//	A+-10m                          within 10 minutes of A
//
// Seconds are optional throughout. A bare time of day after ".." belongs to
// the day that A names, or to the next if it would come before A.
//
// A doubt does not stop the reading; it asks: an instant after now, one that
// a clock change jumped over (taken as if the clock had not been changed, so
// the later reading), one that happened twice (the first is taken). Errors
// quote the text and say what can be written; a date that could be two, as
// 03/04/2026, is an error that names both. A nil zone means UTC; the instants
// returned are in UTC.
func ParseTime(text string, now time.Time, zone *time.Location) (Span, []Doubt, error) {
	return ParseTimeOn(text, now, now, zone)
}

// ParseTimeOn reads a time as somebody means it who writes up another day: words
// that count from now count from that day instead. What is after now is in the
// future all the same.
func ParseTimeOn(text string, day, now time.Time, zone *time.Location) (Span, []Doubt, error) {
	return (&reader{base: day, now: now, zone: cmp.Or(zone, time.UTC)}).read(text)
}

func (r *reader) read(text string) (Span, []Doubt, error) {
	s, err := r.span(plainTime(text))
	if err == nil && (beyond(s.From) || beyond(s.To)) {
		err = fmt.Errorf("no study was in that year; write it as in 2026-03-27 18:10")
	}
	if err != nil {
		return Span{}, nil, fmt.Errorf("time %q: %w", clip(text), err)
	}
	return s, r.doubts, nil
}

// ParseInstant reads one instant that may lie ahead: a day without its year is the
// nearest one, not the last. A day alone stands for its end, today for now. The
// errors are those of ParseTime, and that a range is none.
func ParseInstant(text string, now time.Time, zone *time.Location) (time.Time, error) {
	span, _, err := (&reader{base: now, now: now, zone: cmp.Or(zone, time.UTC), nearest: true}).read(text)
	switch plain := plainTime(text); {
	case err != nil:
		return time.Time{}, err
	case span.Exact() || isDay(plain):
		return span.To, nil
	}
	return time.Time{}, fmt.Errorf("%s: give one instant, not a range", clip(text))
}

// plainTime leaves out what people vary in writing a time: case and gaps.
func plainTime(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(text), " "))
}

// beyond reports whether an instant lies where nobody kept a log, and where its
// arithmetic ends: a length holds 292 years.
func beyond(t time.Time) bool {
	return !t.IsZero() && (t.Year() < 1900 || t.Year() > 2199)
}

// A reader holds what the words of one time are relative to.
type reader struct {
	base   time.Time // what words count from
	now    time.Time // what is after it lies in the future
	zone   *time.Location
	named  string // what the zone's clocks are called, where that was written; else empty
	wrong  error  // they are never called so then
	doubts []Doubt

	nearest bool // a day without its year is the nearest, be it ahead
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
	return r.point(s)
}

func (r *reader) around(a, d string) (Span, error) {
	slack, err := readDuration(d, "m")
	if err != nil {
		return Span{}, fmt.Errorf("after +-: %w", err)
	}
	t, err := r.point(a)
	return Span{t.From.Add(-slack), t.To.Add(slack)}, err
}

func (r *reader) between(a, b string) (s Span, err error) {
	if a == "" && b == "" {
		return s, fmt.Errorf("both ends are open; give at least one of them")
	}
	if a != "" {
		begin, err := r.point(a)
		if err != nil {
			return Span{}, err
		}
		s.From = begin.From
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
	plain, named := r.cutName(b)
	clock, bare := readClock(plain)
	if _, undated := readClock(a); !bare || undated || a == "" || a == "now" {
		end, err := r.point(b)
		return end.To, err
	}
	r.named = named
	day := from.In(r.zone)
	t, doubts := r.instant(on(day, 0, clock))
	if t.Before(from) {
		t, doubts = r.instant(on(day, 1, clock))
	}
	return r.note(t, doubts), r.wrong
}

// point reads one instant, or the day that stands for one that is not known
// better. The order matters only for the error at the end.
func (r *reader) point(s string) (Span, error) {
	if s == "now" {
		return At(r.base.UTC()), nil
	}
	if back, ok := strings.CutPrefix(s, "-"); ok {
		d, err := readDuration(back, "m")
		return At(r.base.Add(-d).UTC()), err
	}
	if t, ok := readStamp(s); ok {
		return At(r.note(t, nil)), nil
	}
	s, r.named = r.cutName(s)
	at, err := r.dayAndClock(s)
	return at, cmp.Or(err, r.wrong)
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

// dayAndClock reads a time of day, a day, or both with the day first.
func (r *reader) dayAndClock(s string) (Span, error) {
	if len(s) > 10 && s[10] == 't' {
		s = s[:10] + " " + s[11:]
	}
	if clock, ok := readClock(s); ok {
		return At(r.note(r.instant(on(r.base.In(r.zone), 0, clock)))), nil
	}
	day, err := r.readDay(s)
	if err == nil {
		return r.allOf(day)
	}
	for i, c := range s {
		clock, ok := readClock(s[min(i+1, len(s)):])
		if c != ' ' || !ok {
			continue
		}
		day, cause := r.readDay(strings.TrimSuffix(s[:i], ","))
		if cause == nil {
			return r.at(day, clock), nil
		}
		err = cause
	}
	return Span{}, err
}

// at is a time of day on a day. A day that comes round is the last one on which
// that time is not after now.
func (r *reader) at(d day, clock time.Time) Span {
	t, doubts := r.instant(on(d.date, 0, clock))
	if d.before != nil && t.After(r.base) {
		t, doubts = r.instant(on(d.before(d.date), 0, clock))
	}
	return At(r.note(t, doubts))
}

// allOf is a whole day, of today what there was of it.
func (r *reader) allOf(d day) (Span, error) {
	midnight := time.Time{}
	from, _ := instant(on(d.date, 0, midnight), r.zone)
	to, _ := instant(on(d.date, 1, midnight), r.zone)
	if from.After(r.now) {
		r.note(from, nil)
	} else if to.After(r.now) {
		to = r.now
	}
	return Span{from.UTC(), to.UTC()}, nil
}

// on puts a time of day on the date so many days after that of day.
func on(day time.Time, days int, clock time.Time) time.Time {
	return time.Date(day.Year(), day.Month(), day.Day()+days, clock.Hour(), clock.Minute(), clock.Second(), clock.Nanosecond(), time.UTC)
}

// dotted spells both halves of the day without dots.
var dotted = strings.NewReplacer("a.m.", "am", "p.m.", "pm")

// readClock reads a time of day, of 24 hours or of twice 12.
func readClock(s string) (time.Time, bool) {
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, true
		}
	}
	s = dotted.Replace(s)
	if n := len(s) - len(" pm"); n > 0 && s[n] == ' ' {
		s = s[:n] + s[n+1:]
	}
	for _, layout := range []string{"3:04pm", "3:04:05pm", "3pm"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}

// readStamp reads a date and a time of day with an offset.
func readStamp(s string) (time.Time, bool) {
	if len(s) > 10 && s[10] == 't' {
		s = s[:10] + " " + s[11:]
	}
	s = strings.ToUpper(s)
	for _, layout := range []string{"2006-01-02 15:04Z07:00", "2006-01-02 15:04:05Z07:00"} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, true
		}
	}
	return time.Time{}, false
}
