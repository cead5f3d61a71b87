package report

import (
	"math"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A number is shown rounded and kept exact beside it, for other programs.
type number struct {
	Shown string
	Exact string // empty: not known
}

func exact(x *float64) string {
	if x == nil || math.IsNaN(*x) || math.IsInf(*x, 0) {
		return ""
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}

// rounded writes x with a number of decimals; an empty number when it is not
// known.
func rounded(x *float64, decimals int) number {
	if exact(x) == "" {
		return number{}
	}
	return number{fixed(*x, decimals), exact(x)}
}

// shortest writes x with at most so many decimals.
func shortest(x float64, decimals int) string {
	text := fixed(x, decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// percent writes a ratio in %. What is kept exact is the ratio.
func percent(x *float64) number {
	if exact(x) == "" || math.IsInf(100**x, 0) {
		return number{}
	}
	return number{fixed(100**x, 1), exact(x)}
}

// fixed writes x with a minus sign that is one. What no scale can hold is
// written by its power of ten.
func fixed(x float64, decimals int) string {
	if math.Abs(x) >= 1e7 {
		return strings.Replace(strconv.FormatFloat(x, 'e', 2, 64), "-", "−", 1)
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return strings.Replace(text, "-", "−", 1)
}

// three writes x to three figures.
func three(x *float64) number {
	if exact(x) == "" {
		return number{}
	}
	decimals := 2
	for y := math.Abs(*x); y >= 10 && decimals > 0; y /= 10 {
		decimals--
	}
	return rounded(x, decimals)
}

// A pair of limits; one of them without Exact where the other is all that is
// known, neither where there are none. No strength and no share of one lies
// below 0: limits that would, begin there, and Cut says so. What is kept exact
// is the number as it was worked out.
type limits struct {
	Low, High number
	Cut       bool
	Wide      bool // they say nothing, and are not shown
}

// belowZero explains limits that are cut.
const belowZero = "The interval would begin below 0: too few specimens, or too unlike, to tell."

func limitsOf(low, high *float64, write func(*float64) number) limits {
	if exact(low) == "" || exact(high) == "" {
		return limits{}
	}
	l := limits{Low: write(low), High: write(high)}
	if *low < 0 && l.Low.Exact != "" {
		l.Low.Shown, l.Cut = "0", true
	}
	return l
}

// unlessWide says of limits around a value that they say nothing, where that is so.
func (l limits) unlessWide(low, high *float64, value float64) limits {
	if strength.SayNothing(low, high, value) {
		l.Wide, l.Cut = true, false
	}
	return l
}

// ofRatio are the limits of a ratio.
func ofRatio(low, high *float64, write func(*float64) number) limits {
	return limitsOf(low, high, write).unlessWide(low, high, 1)
}

// towards leaves what limits say of a bound: for AtMost the upper one, for
// AtLeast the lower one, none where the truth may lie on either side.
func (l limits) towards(bound stat.Bound) limits {
	if bound.MayBeMore() {
		l.High = number{}
	}
	if bound.MayBeLess() {
		l.Low, l.Cut = number{}, false
	}
	return l
}

// Shows is what stands in place of limits that say nothing.
func (l limits) Shows() string { return map[bool]string{true: wording.TooFewToSay}[l.Wide] }

// text writes limits for a sentence; empty where there are none.
func (l limits) text() string {
	switch low, high := l.Low.Exact != "", l.High.Exact != ""; {
	case l.Wide:
		return ""
	case low && high:
		return l.Low.Shown + " to " + l.High.Shown
	case low:
		return "from " + l.Low.Shown
	case high:
		return "up to " + l.High.Shown
	}
	return ""
}

// sign is how a bound is printed before its number.
func sign(bound stat.Bound) string {
	if glyph := bound.Glyph(); glyph != "" {
		return glyph + "\u00a0"
	}
	return ""
}

// phrase is how a bound is said before its number in a sentence.
func phrase(bound stat.Bound) string {
	if text := bound.Phrase(); text != "" {
		return text + " "
	}
	return sign(bound)
}

// share is how a bound is printed before a share that was kept.
func share(bound stat.Bound) string {
	if phrase := bound.Phrase(); phrase != "" {
		return phrase + "\u00a0"
	}
	return sign(bound)
}

// signed writes a drift with its sign.
func signed(d time.Duration) string {
	if d < 0 {
		return "−" + schedule.Short(-d)
	}
	return "+" + schedule.Short(d)
}

// madeText is when the report was made.
func (s *source) madeText() string { return s.instant(s.o.At) }

// asOfText says of which moment the record is, where that is not all of it.
func (s *source) asOfText() string {
	if s.o.AsOf.IsZero() {
		return ""
	}
	return "as it stood on " + s.instant(s.o.AsOf)
}

// instant writes one in the study's zone.
func (s *source) instant(t time.Time) string {
	if s.study.Zone != nil {
		t = t.In(s.study.Zone)
	}
	return t.Format("2 January 2006, 15:04 MST")
}

// called is the name of a specimen with its code.
func called(sp strength.Specimen) string {
	if sp.Name == "" {
		return sp.Code
	}
	return string(sp.Name) + " (" + sp.Code + ")"
}
