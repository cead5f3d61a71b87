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

// bounds gives each Bound its word and its sign, by number.
var bounds = [...]struct{ word, sign string }{
	Exact: {"exact", "="}, AtLeast: {"at_least", ">="}, AtMost: {"at_most", "<="},
	Either: {"either", "?"}, Zero: {"zero", "="}, None: {"none", ""},
}

// String is the word for b in tables: "exact", "at_least", "at_most", "either",
// "zero" or "none".
func (b Bound) String() string {
	if b < 0 || int(b) >= len(bounds) {
		return fmt.Sprintf("Bound(%d)", int(b))
	}
	return bounds[b].word
}

// Sign says before a number how the true value stands to it: "=", ">=", "<=",
// or "?" where it may be either side; empty where there is no number.
func (b Bound) Sign() string {
	if b < 0 || int(b) >= len(bounds) {
		return ""
	}
	return bounds[b].sign
}

// Over is the bound of a ratio whose numerator has bound b and whose
// denominator has bound d: a denominator that is really higher makes the true
// ratio lower. Zero counts as exact, and without a number there is none.
func (b Bound) Over(d Bound) Bound {
	if b == None || d == None {
		return None
	}
	switch up, down := b.above() || d.below(), b.below() || d.above(); {
	case up && down:
		return Either
	case up:
		return AtLeast
	case down:
		return AtMost
	}
	return Exact
}

// above reports whether the true value may be more than the number.
func (b Bound) above() bool { return b == AtLeast || b == Either }

// below reports whether the true value may be less than the number.
func (b Bound) below() bool { return b == AtMost || b == Either }

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
