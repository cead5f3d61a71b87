package schedule

import (
	"errors"
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"time"
)

// Day is 24 hours between instants, whatever the clock on the wall did. A day
// of the calendar can be 23 or 25 hours long, or be missing altogether, so no
// planned length is ever counted in those.
const Day = 24 * time.Hour

// longest keeps sums of a start, a length and a tolerance far from the end of
// what a time.Duration can hold (292 years).
const longest = 36525 * Day

// A unit is one word for a length of time.
type unit struct {
	word string
	size time.Duration
}

// units runs from long to short: a length of several parts must do so too.
var units = [...]unit{{"w", 7 * Day}, {"d", Day}, {"h", time.Hour}, {"min", time.Minute}, {"s", time.Second}}

// ParseDuration reads a length of time: one or more numbers with the units w,
// d, h, min, s, the longer units first, with or without spaces ("7 d 12 h",
// "2.5 h", "30min"). A day is 24 hours and a week 7 days of them.
//
// A length is from 0 to 36525 d. Anything else is an error that quotes the
// text: no unit, a unit not in the list ("m" could be metres or months), a
// sign, a unit twice.
func ParseDuration(s string) (time.Duration, error) {
	d, err := readDuration(s, "")
	if err != nil {
		return 0, fmt.Errorf("duration %q: %w", clip(s), err)
	}
	return d, nil
}

// readDuration does the work of ParseDuration. A minute may also be written
// as the word given, as people type "-2h30m" where metres cannot be meant.
func readDuration(s, minute string) (time.Duration, error) {
	rest := strings.TrimSpace(s)
	if rest == "" {
		return 0, fmt.Errorf(`nothing there; write a number and a unit, "7 d" or "2 h 30 min"`)
	}
	var sum time.Duration
	for next := 0; rest != ""; {
		part, at, after, err := readPart(rest, next, minute)
		if err != nil {
			return 0, err
		}
		if sum += part; sum > longest {
			return 0, errTooLong
		}
		rest, next = after, at+1
	}
	return sum, nil
}

var (
	errTooLong  = errors.New("longer than 36525 d")
	errNoNumber = errors.New(`write a number and a unit, "7 d" or "2 h 30 min"`)
)

// readPart reads one number and its unit, which must stand at place from or
// later in units, and returns the unit's place and the text after it.
func readPart(s string, from int, minute string) (d time.Duration, at int, rest string, err error) {
	n := strings.IndexFunc(s, func(r rune) bool { return r != '.' && (r < '0' || r > '9') })
	if n < 0 {
		return 0, 0, "", fmt.Errorf("%q has no unit; write s, min, h, d or w after it", clip(s))
	}
	if n == 0 {
		return 0, 0, "", errNoNumber
	}
	number, tail := s[:n], strings.TrimLeft(s[n:], " \t")
	w := strings.IndexFunc(tail, func(r rune) bool { return r < 'A' || r > 'z' || (r > 'Z' && r < 'a') })
	if w < 0 {
		w = len(tail)
	}
	at, err = findUnit(tail[:w], from, minute)
	if err != nil {
		return 0, 0, "", err
	}
	d, err = times(number, units[at].size)
	return d, at, strings.TrimLeft(tail[w:], " \t"), err
}

func findUnit(word string, from int, minute string) (int, error) {
	for i, u := range units {
		if word != u.word && (minute == "" || word != minute || u.size != time.Minute) {
			continue
		}
		if i < from {
			return 0, fmt.Errorf("%q stands after a unit that is not longer", word)
		}
		return i, nil
	}
	if word == "" {
		return 0, errNoNumber
	}
	return 0, fmt.Errorf("%q is not a unit of time here; write s, min, h, d or w", clip(word))
}

// times multiplies exactly, so that 0.1 h is 6 min and not a hair less.
func times(number string, size time.Duration) (time.Duration, error) {
	x, ok := new(big.Rat).SetString(number)
	if number == "" || len(number) > 20 || number[0] == '.' || number[len(number)-1] == '.' || !ok {
		return 0, fmt.Errorf("%q is not a number", clip(number))
	}
	x.Mul(x, new(big.Rat).SetInt64(int64(size)))
	whole := new(big.Int).Quo(x.Num(), x.Denom())
	if !whole.IsInt64() || time.Duration(whole.Int64()) > longest {
		return 0, errTooLong
	}
	return time.Duration(whole.Int64()), nil
}

// Short writes d for people by its two largest units, rounded half away from
// zero to the smaller one: "15 d 19 h", "2 h 18 min", "5 min 3 s", "7 d",
// "-4 h". It loses what is below that; Exact loses nothing.
func Short(d time.Duration) string {
	if d.Round(time.Second) < 0 {
		return "-" + Short(-max(d, -longest*2))
	}
	switch {
	case d.Round(time.Minute) >= Day:
		return pair(d.Round(time.Hour), Day, "d", time.Hour, "h")
	case d.Round(time.Second) >= time.Hour:
		return pair(d.Round(time.Minute), time.Hour, "h", time.Minute, "min")
	default:
		return pair(d.Round(time.Second), time.Minute, "min", time.Second, "s")
	}
}

func pair(d, big time.Duration, bigName string, small time.Duration, smallName string) string {
	a, b := int64(d/big), int64(d%big/small)
	switch {
	case a == 0:
		return fmt.Sprintf("%d %s", b, smallName)
	case b == 0:
		return fmt.Sprintf("%d %s", a, bigName)
	}
	return fmt.Sprintf("%d %s %d %s", a, bigName, b, smallName)
}

// Exact writes a length of time, not negative, so that ParseDuration reads
// the same one back: "14 d", "1 d 6 h 10 min", "0.25 s".
func Exact(d time.Duration) string {
	var parts []string
	for _, u := range units[1:4] {
		if n := d / u.size; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, u.word))
			d %= u.size
		}
	}
	if d > 0 || len(parts) == 0 {
		text := fmt.Sprintf("%d.%09d", d/time.Second, d%time.Second)
		parts = append(parts, strings.TrimRight(strings.TrimRight(text, "0"), ".")+" s")
	}
	return strings.Join(parts, " ")
}

// clip keeps a quoted piece of somebody's text to a readable length.
func clip(s string) string {
	if len(s) <= 40 {
		return s
	}
	return strconv.Quote(s[:40])[1:] + "..."
}
