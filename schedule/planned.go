package schedule

import (
	"fmt"
	"strings"
	"time"
)

// ParsePlanned reads the planned length of an interval:
//
//	14 d +/- 1 d        a target with a tolerance
//	7 d + 4 h - 30 min  a target, late and early tolerance
//	7 d                 a target; the tolerance is DefaultTolerance, Assumed
//	at least 12 h       a lower limit
//	at most 30 min      an upper limit
//	none                the plan leaves the interval out
//	as soaked +/- 1 d   as long as the soaked partner's
//
// Lengths are as in ParseDuration. A target or limit must be longer than
// nothing, and an early tolerance not longer than its target. Errors quote
// the text and say what to write.
func ParsePlanned(s string) (Planned, error) {
	p, err := readPlanned(strings.Join(strings.Fields(s), " "))
	if err != nil {
		return Planned{}, fmt.Errorf("planned length %q: %w", clip(s), err)
	}
	return p, nil
}

func readPlanned(s string) (Planned, error) {
	switch {
	case s == "none":
		return Planned{}, nil
	case strings.HasPrefix(s, "at least "):
		return readLimit(AtLeast, s[len("at least "):])
	case strings.HasPrefix(s, "at most "):
		return readLimit(AtMost, s[len("at most "):])
	case strings.HasPrefix(s, "as soaked"):
		return readPartner(s[len("as soaked"):])
	}
	return readTarget(s)
}

func readLimit(k Kind, s string) (Planned, error) {
	d, err := readDuration(s, "")
	if err == nil && d == 0 {
		err = fmt.Errorf("the limit must be longer than nothing")
	}
	return Planned{Kind: k, Length: d}, err
}

func readPartner(s string) (Planned, error) {
	length, tolerance := cutTolerance(s)
	if strings.TrimSpace(length) != "" {
		return Planned{}, fmt.Errorf(`write "as soaked" or "as soaked +/- 1 d"`)
	}
	early, late, assumed, err := readTolerance(tolerance)
	return Planned{Kind: AsPartner, Early: early, Late: late, Assumed: assumed}, err
}

func readTarget(s string) (Planned, error) {
	length, tolerance := cutTolerance(s)
	d, err := readDuration(length, "")
	if err != nil {
		return Planned{}, err
	}
	early, late, assumed, err := readTolerance(tolerance)
	if assumed {
		early, late = DefaultTolerance(d), DefaultTolerance(d)
	}
	switch {
	case err != nil:
		return Planned{}, err
	case d == 0:
		return Planned{}, fmt.Errorf(`the length must be longer than nothing; write "none" to leave the interval out`)
	case early > d && !assumed:
		return Planned{}, fmt.Errorf("the early tolerance %s is longer than %s itself", Exact(early), Exact(d))
	}
	return Planned{Target, d, min(early, d), late, assumed}, nil
}

// cutTolerance splits "14 d +/- 1 d" before its first sign.
func cutTolerance(s string) (length, tolerance string) {
	if i := strings.IndexAny(s, "+-±"); i >= 0 {
		return s[:i], s[i:]
	}
	return s, ""
}

// readTolerance reads "+/- T", "+ L - E" or "- E + L"; nothing at all means
// that a tolerance has to be assumed.
func readTolerance(s string) (early, late time.Duration, assumed bool, err error) {
	if s == "" {
		return 0, 0, true, nil
	}
	for _, sign := range []string{"+/-", "+-", "±"} {
		if rest, ok := strings.CutPrefix(s, sign); ok {
			d, err := readDuration(rest, "")
			return d, d, false, err
		}
	}
	other := map[byte]string{'+': "-", '-': "+"}[s[0]]
	first, second, both := strings.Cut(s[1:], other)
	if !both {
		return 0, 0, false, fmt.Errorf(`write both sides, "7 d + 4 h - 30 min", or "7 d +/- 4 h"`)
	}
	if s[0] == '-' {
		first, second = second, first
	}
	if late, err = readDuration(first, ""); err != nil {
		return 0, 0, false, err
	}
	early, err = readDuration(second, "")
	return early, late, false, err
}

// DefaultTolerance is the tolerance assumed, early and late, for a target the
// plan gives none for: the larger of 10 min and 5 % of the length. Published
// timed wettings run from 1.4 % (72 h +/- 1 h, EN 314-1) to 4.2 % (4 h +/- 10
// min, ANSI/HPVA HP-1); the rule itself is ours.
func DefaultTolerance(length time.Duration) time.Duration {
	return max(10*time.Minute, length/20)
}

// AsLongAs gives an AsPartner the partner's actual length: the result is a
// Target of that length, with the default tolerance where the plan gave none.
// Other kinds are returned as they are.
func (p Planned) AsLongAs(partner time.Duration) Planned {
	if p.Kind != AsPartner {
		return p
	}
	if p.Assumed {
		p.Early, p.Late = DefaultTolerance(partner), DefaultTolerance(partner)
	}
	p.Kind, p.Length = Target, partner
	return p
}

// String writes p so that ParsePlanned reads the same value back.
func (p Planned) String() string {
	switch p.Kind {
	case Target:
		return Exact(p.Length) + p.tolerance()
	case AtLeast:
		return "at least " + Exact(p.Length)
	case AtMost:
		return "at most " + Exact(p.Length)
	case AsPartner:
		return "as soaked" + p.tolerance()
	}
	return "none"
}

func (p Planned) tolerance() string {
	switch {
	case p.Assumed:
		return ""
	case p.Early == p.Late:
		return " +/- " + Exact(p.Late)
	}
	return " + " + Exact(p.Late) + " - " + Exact(p.Early)
}
