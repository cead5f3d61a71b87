package schedule

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// A day is a day of the calendar that somebody named. One that comes round, a
// weekday or a date without its year, has the one before it.
type day struct {
	date   time.Time // midnight, zone not looked at
	before func(time.Time) time.Time
}

// readDay reads the name or the date of a day. The text is lower case.
func (r *reader) readDay(s string) (day, error) {
	today := on(r.base.In(r.zone), 0, time.Time{})
	switch s {
	case "today":
		return day{date: today}, nil
	case "yesterday":
		return day{date: today.AddDate(0, 0, -1)}, nil
	}
	if weekday, ok := readWeekday(s); ok {
		back := (int(today.Weekday()) - int(weekday) + 7) % 7
		return day{today.AddDate(0, 0, -back), func(t time.Time) time.Time { return t.AddDate(0, 0, -7) }}, nil
	}
	d, err := readDate(s, today)
	if r.nearest && err == nil && d.before != nil {
		d = d.nearest(today)
	}
	return d, err
}

// nearest is the same day of the year, ahead where that is nearer than the last one.
func (d day) nearest(today time.Time) day {
	next := d.date.AddDate(1, 0, 0)
	if next.Day() == d.date.Day() && next.Sub(today) < today.Sub(d.date) {
		return day{date: next}
	}
	return day{date: d.date}
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

// isDay reports whether a text names a day and nothing else.
func isDay(s string) bool {
	r := reader{base: time.Unix(0, 0), zone: time.UTC} // any will do
	_, err := r.readDay(s)
	return err == nil
}

var (
	yearFirst  = regexp.MustCompile(`^(\d{4})([-/.])(\d{1,2})([-/.])(\d{1,2})$`)
	yearLast   = regexp.MustCompile(`^(\d{1,2})([-/.]) ?(\d{1,2})([-/.]) ?(\d{4}|\d{2})$`)
	monthSaid  = regexp.MustCompile(`^(\d{1,2})(?:\.?[- ]|\. ?)([a-z]{3,9})\.?(?:[- ,]+(\d{4}|\d{2}))?$`)
	monthFirst = regexp.MustCompile(`^([a-z]{3,9})\.?[- ](\d{1,2})(?:,? (\d{4}))?$`)
)

var errNoTime = fmt.Errorf("write now, -2h30m, 18:10, 6:10 pm, yesterday 18:10, fri 18:10, 2026-03-27, 2026-03-27 18:10 or with its offset 2026-03-27 18:10-05:00")

// readDate reads a date in the forms that people and spreadsheets write:
//
//	2026-03-27   2026/3/27               the year first (ISO 8601)
//	27.3.2026                            dots: the day first
//	3/27/2026   27/3/2026   27-03-2026   where only one of the two can be the month
//	27 Mar 2026   27-Mar-26   March 27, 2026   27 Mar   with the month in letters
//
// Which of two numbers is the month is never guessed; a *TwoDaysError says so.
func readDate(s string, today time.Time) (day, error) {
	if m := yearFirst.FindStringSubmatch(s); m != nil && m[2] == m[4] {
		return dated(s, m[1], m[3], m[5])
	}
	if m := yearLast.FindStringSubmatch(s); m != nil && m[2] == m[4] {
		return readNumbers(s, m[2], m[1], m[3], m[5])
	}
	if m := monthSaid.FindStringSubmatch(s); m != nil {
		return readMonth(s, today, m[1], m[2], m[3])
	}
	if m := monthFirst.FindStringSubmatch(s); m != nil {
		return readMonth(s, today, m[2], m[1], m[3])
	}
	return day{}, errNoTime
}

// readNumbers reads a date whose year comes last.
func readNumbers(s, sign, a, b, year string) (day, error) {
	if len(year) == 2 {
		return day{}, fmt.Errorf("%s has a year of two digits; write the date as in 2026-03-27", s)
	}
	dayFirst, noDay := dated(s, year, b, a)
	monthFirst, noMonth := dated(s, year, a, b)
	switch {
	case sign == "." || noMonth != nil:
		return dayFirst, noDay
	case noDay != nil || dayFirst.date.Equal(monthFirst.date):
		return monthFirst, nil
	}
	return day{}, &TwoDaysError{s, dayFirst.date, monthFirst.date}
}

// readMonth reads a date whose month is in letters. Without a year it is the
// last one that is not after today.
func readMonth(s string, today time.Time, d, name, year string) (day, error) {
	month := slices.IndexFunc(months, func(m string) bool { return m == name || m[:3] == name || name == "sept" && m[:3] == "sep" }) + 1
	switch {
	case month == 0:
		return day{}, errNoTime
	case len(year) == 2:
		year = "20" + year
	case year == "":
		return lastOf(s, today, strconv.Itoa(month), d)
	}
	return dated(s, year, strconv.Itoa(month), d)
}

var months = func() (names []string) {
	for m := time.January; m <= time.December; m++ {
		names = append(names, strings.ToLower(m.String()))
	}
	return names
}()

// lastOf is the last such day of a year; 29 February may be years ago.
func lastOf(s string, today time.Time, month, d string) (last day, err error) {
	for year := today.Year(); year > today.Year()-9; year-- {
		last, err = dated(s, strconv.Itoa(year), month, d)
		if err == nil && !last.date.After(today) {
			last.before = func(t time.Time) time.Time { return t.AddDate(-1, 0, 0) }
			return last, nil
		}
	}
	return day{}, err
}

func dated(s, year, month, d string) (day, error) {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	n, _ := strconv.Atoi(d)
	date := time.Date(y, time.Month(m), n, 0, 0, 0, 0, time.UTC)
	if int(date.Month()) != m || date.Day() != n {
		return day{}, fmt.Errorf("there is no day %s; write it as in 2026-03-27", s)
	}
	return day{date: date}, nil
}
