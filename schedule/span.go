package schedule

import (
	"math"
	"time"
)

// Unbounded is the upper end of a length that has none, because one of the
// instants it lies between is open at that end.
const Unbounded time.Duration = math.MaxInt64

// Exact reports whether s is one known instant.
func (s Span) Exact() bool { return !s.From.IsZero() && s.From.Equal(s.To) }

// IsZero reports whether nothing is known of the instant.
func (s Span) IsZero() bool { return s.From.IsZero() && s.To.IsZero() }

// Mid returns the middle of s, the best single guess at an instant known only
// to lie in a range (GUM 4.3.7: a uniform distribution). A span open at one
// end gives the end that is known; the zero Span gives the zero time.
func (s Span) Mid() time.Time {
	switch {
	case s.From.IsZero():
		return s.To
	case s.To.IsZero():
		return s.From
	}
	return s.From.Add(s.To.Sub(s.From) / 2)
}

// Length returns the shortest and the longest time that can lie between two
// instants,
//
//	lo = to.From - from.To      hi = to.To - from.From
//
// Both are between instants, so no clock change touches them. They are
// negative when the second came first. An end that is open makes lo 0 (or hi,
// if that is less) or hi Unbounded.
func Length(from, to Span) (lo, hi time.Duration) {
	hi = Unbounded
	if !to.To.IsZero() && !from.From.IsZero() {
		hi = to.To.Sub(from.From)
	}
	if !to.From.IsZero() && !from.To.IsZero() {
		return to.From.Sub(from.To), hi
	}
	return min(0, hi), hi
}
