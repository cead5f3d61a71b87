// Package schedule is the clock of a study: when things should happen, and by
// how much they drifted from the plan.
//
// It knows stages, intervals between stages, tolerances and instants that are
// only known to lie in a range. It knows nothing of specimens, labels or
// files, reads no clock of its own, and computes every duration between
// instants, never between wall clocks: a soak across the spring clock change
// from 10 March 10:10 to 10 April 10:40 in London lasts 743.5 h, not 744.5 h.
package schedule

import "time"

// A Span is an instant known exactly (From equals To) or only to lie between
// two instants, both inclusive. A zero From or To means that end is open.
// The zero Span means "not known at all".
type Span struct{ From, To time.Time }

// At returns the Span of an instant that is known exactly.
func At(t time.Time) Span { return Span{t, t} }

// A Kind tells how the planned length of an interval is meant.
type Kind uint8

const (
	None      Kind = iota // the plan leaves the interval, and its stage, out
	Target                // a length with a tolerance early and late
	AtLeast               // a lower limit
	AtMost                // an upper limit
	AsPartner             // as long as the soaked partner's, with a tolerance
)

// Planned is the planned length of an interval. Limits are inclusive.
type Planned struct {
	Kind        Kind
	Length      time.Duration // target or limit; zero for None and AsPartner
	Early, Late time.Duration // tolerances, not negative; for Target and AsPartner
	Assumed     bool          // the plan gave no tolerance: larger of 10 min and 5 %
}

// The intervals that every study knows by name; all others are a plan's own.
const (
	SurfaceAge = "surface age" // planing to glue-up
	Clamp      = "clamp"       // glue-up to clamp removal
	Cure       = "cure"        // clamp removal to immersion
	Soak       = "soak"        // immersion to lift-out, as a sum over all spells under water
	WetHold    = "wet hold"    // lift-out to break
	Age        = "age"         // clamp removal to break
)

// An Interval names both of its ends.
type Interval struct {
	Name     string // "cure", "soak", or a name of the plan's own
	From, To Stage
	Planned  Planned
}

// A Verdict says how an actual length compares with the planned one.
type Verdict uint8

const (
	Running    Verdict = iota // the interval has not ended
	Within                    // inside the limits, wherever in its range the truth lies
	Early                     // shorter than the limits allow
	Late                      // longer than the limits allow
	CannotTell                // a limit lies inside the range of what is known
)

func (v Verdict) String() string {
	return [...]string{"running", "within", "early", "late", "cannot tell"}[v]
}

// A State says how an open interval stands at a moment.
type State uint8

const (
	Ongoing State = iota // nothing to do yet
	Soon                 // the last tenth before the window opens, at least 1 h, at most 2 d
	Due                  // the window is open
	Overdue              // the window has closed
)

func (s State) String() string { return [...]string{"running", "soon", "due", "overdue"}[s] }

// A Window says when the stage that ends an interval should happen. A zero
// Opens means at once, a zero Closes means no limit; At is the planned
// instant: the target, the limit for AtLeast and AtMost.
type Window struct{ Opens, At, Closes time.Time }

// Begins is when there is something to do: the opening, or the planned instant of
// a window that opens at once; zero for one that has neither.
func (w Window) Begins() time.Time {
	if w.Opens.IsZero() {
		return w.At
	}
	return w.Opens
}
