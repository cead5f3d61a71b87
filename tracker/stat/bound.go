package stat

import "fmt"

// A Bound says how a number stands to the true value that it tells of. The zero
// Bound is Exact.
type Bound int

const (
	Exact   Bound = iota // the true value is this
	AtLeast              // the true value is this or more
	AtMost               // the true value is this or less
	Either               // the true value may be more or less
	Zero                 // nothing was measured: the true value counts as 0
	None                 // no number
)

// bounds says of each Bound all that there is to know, by number. What is shown
// and worked out elsewhere goes by this table alone, but for what a fit makes of
// a kind: see fitted.
var bounds = [...]struct {
	word, sign, glyph, phrase string
	measured, more, less      bool // a number was measured; the truth may be more, or less
}{
	Exact:   {word: "exact", sign: "=", measured: true},
	AtLeast: {word: "at_least", sign: ">=", glyph: "≥", phrase: "at least", measured: true, more: true},
	AtMost:  {word: "at_most", sign: "<=", glyph: "≤", phrase: "at most", measured: true, less: true},
	Either:  {word: "either", sign: "?", glyph: "?", measured: true, more: true, less: true},
	Zero:    {word: "zero", sign: "="},
	None:    {word: "none"},
}

// known is b where it is one of the Bounds, else None.
func (b Bound) known() Bound {
	if b < 0 || int(b) >= len(bounds) {
		return None
	}
	return b
}

// String is the word for b in tables: "exact", "at_least", "at_most", "either",
// "zero" or "none".
func (b Bound) String() string {
	if b.known() != b {
		return fmt.Sprintf("Bound(%d)", int(b))
	}
	return bounds[b].word
}

// Sign says before a number in a text how the true value stands to it: "=",
// ">=", "<=", or "?" where it may be either side; empty where there is no number.
func (b Bound) Sign() string { return bounds[b.known()].sign }

// Glyph is Sign as it is printed: "≥", "≤", "?"; empty where the number is the
// true value, or there is none.
func (b Bound) Glyph() string { return bounds[b.known()].glyph }

// Phrase is Sign in a sentence: "at least" or "at most"; empty elsewhere.
func (b Bound) Phrase() string { return bounds[b.known()].phrase }

// Measured reports whether a number was measured, be it a bound.
func (b Bound) Measured() bool { return bounds[b.known()].measured }

// MayBeMore reports whether the true value may be more than the number.
func (b Bound) MayBeMore() bool { return bounds[b.known()].more }

// MayBeLess reports whether the true value may be less than the number.
func (b Bound) MayBeLess() bool { return bounds[b.known()].less }

// Censored reports whether the true value may be another than the number.
func (b Bound) Censored() bool { return b.MayBeMore() || b.MayBeLess() }

// LimitsHold says which limits around a number still tell of the true value: "both",
// "low" where it may be more, "high" where it may be less, "none" where it may be
// either side, or there is no number.
func (b Bound) LimitsHold() string {
	switch more, less := b.MayBeMore(), b.MayBeLess(); {
	case b.known() == None || more && less:
		return "none"
	case more:
		return "low"
	case less:
		return "high"
	}
	return "both"
}

// And is the bound of a mean of numbers of bounds b and c. Zero counts as exact,
// and without a number there is none.
func (b Bound) And(c Bound) Bound { return b.join(c, c.MayBeMore(), c.MayBeLess()) }

// Over is the bound of a ratio whose numerator has bound b and whose
// denominator has bound d: a denominator that is really higher makes the true
// ratio lower. Zero counts as exact, and without a number there is none.
func (b Bound) Over(d Bound) Bound { return b.join(d, d.MayBeLess(), d.MayBeMore()) }

// join is the bound of what is worked out from numbers of bounds b and c, of
// which c makes it more or less.
func (b Bound) join(c Bound, more, less bool) Bound {
	more, less = more || b.MayBeMore(), less || b.MayBeLess()
	switch {
	case b.known() == None || c.known() == None:
		return None
	case more && less:
		return Either
	case more:
		return AtLeast
	case less:
		return AtMost
	}
	return Exact
}

// MarshalText writes the word of String.
func (b Bound) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

// UnmarshalText reads the word of String.
func (b *Bound) UnmarshalText(text []byte) error {
	for i, known := range bounds {
		if known.word == string(text) {
			*b = Bound(i)
			return nil
		}
	}
	return fmt.Errorf("no bound is called %q", text)
}
