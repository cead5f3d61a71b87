// Package arrange finds a calendar for a study that a person can keep, or says
// why there is none and what little would have to change.
//
// Some steps are short and sharp: a glue-up, a clamp removal, an immersion, a
// lift-out, a break. Each must fall into hours when somebody is in the shop,
// there is one pair of hands for all of them, and a bond under pressure keeps a
// clamp. Between the steps lie intervals that nobody attends, each with its
// tolerance. So the steps of three weeks depend on the minute of the first.
//
// # What a calendar is made of
//
// A sitting is a number of bonds of one group that are glued in one go, out of
// one pot. It stays together: its bonds go through every later step in one go
// and in the same order, so that they are treated alike. A step is done on one
// bond after the other; it has happened to a bond when the hands let go of it.
// Steps that must follow each other within the hour or so, lift-out and break,
// are done in turns: a few bonds are lifted, these are broken, then the next
// few are lifted. All lengths are between instants, so a 24 h clamp over the
// night when the clocks change ends an hour off by the clock on the wall.
//
// # Which calendar is best
//
// The order is total. First comes the calendar that spends the smallest part of
// the tolerances, in quarters of each: a plan at the very edge of its
// tolerance is spoilt by a person who comes ten minutes early. Then the one whose
// last break ends first; then the one with the fewest sittings; then the one
// whose first sittings are larger; then the one whose first step that differs
// comes earlier, in the order of groups, sittings and steps, where a group that
// follows another comes straight after it.
//
// Studies of up to 64 bonds are searched through, as long as that takes no more
// than a fixed number of looks, and the answer is the best there is, or a proof
// that there is none. What is too large for that is arranged one sitting after the other,
// and Answer.Exact is false. Nothing depends on the
// speed of the machine: the same problem has the same answer everywhere.
package arrange

import (
	"fmt"
	"time"

	"soaktag/schedule"
)

// A Problem is all that limits a calendar.
type Problem struct {
	Zone   *time.Location
	Start  time.Time     // the first glue-up is on this day in Zone, and not before this instant
	Spread time.Duration // every glue-up begins at most this long after Start; 0 means 14 d
	Grid   time.Duration // steps begin on multiples of it, 1 min to 24 h; 0 means 5 min; tolerances below it are hard to keep
	Hours  []Hours       // when somebody is there; none means always
	Away   []Away        // when nobody is, whatever the hours say
	Clamps int           // bonds that can be under pressure at a time; 0 means no limit
	Held   []time.Time   // until when bonds glued before keep one of the clamps each; they ask for no hands
	Groups []Group
}

// Hours are when somebody is in the shop on one day of the week, in minutes
// after midnight by the clock on the wall. A day may have several.
type Hours struct {
	Day         time.Weekday
	Opens, Ends int
}

// Away is a time when nobody is in the shop: a holiday, a day at sea.
type Away struct{ From, To time.Time }

// A Group is bonds that are treated alike: one adhesive under one treatment.
type Group struct {
	Key     string // shown to people: "casein, soaked"
	Bonds   int
	PotLife time.Duration // a sitting is glued within it; 0 means no limit
	Steps   []Step        // in the order in which they happen; the first is the glue-up

	// Intervals lie between steps. One with an end that is not among the
	// steps does not count; clamp removal stands for the glue-up where there
	// is no clamp. AsPartner is measured against every bond of Follows.
	Intervals []schedule.Interval
	Follows   string // the Key of the group whose age this one takes, empty when none
}

// A Step is one stage and what it asks of a person.
type Step struct {
	Stage schedule.Stage
	Hands time.Duration // for each bond
	Bath  string        // where it happens, for the calendar; empty when nowhere
}

// A Task is one thing to do in one go.
type Task struct {
	Group    string
	Stage    schedule.Stage
	Bath     string
	Sitting  int // counted over the study in the order of gluing, from 1
	Bonds    int
	From, To time.Time
}

// A Calendar is when to do what, soonest first.
type Calendar struct {
	Tasks    []Task // no two at once
	Sittings int
	Last     time.Time // the end of the last task
	Quarters int       // quarters of every tolerance that it may need, 1 to 4
}

// An Answer is a calendar, or what stands in its way.
type Answer struct {
	Found    bool     // Calendar keeps every limit of the problem as it was given
	Calendar Calendar // where not Found: that of the relaxed problem, if there is one
	Exact    bool     // proven: no calendar is better, or, where not Found, there is none
	Why      []string // where not Found: what stands in the way
	Relaxed  *Relaxation
	Notes    []string // how the work of the Calendar is divided: "lift in lots of five"
}

// Arrange finds the best calendar it can; the package comment says which that
// is. Where it finds none, Why says what stands in the way and Relaxed names the
// one cheapest change that makes one, with the calendar it makes.
//
// The error is for a problem that means nothing: no zone, no start, no groups,
// a number below zero, an interval that runs backwards, a group that follows
// one that is not there.
func Arrange(p Problem) (Answer, error) {
	if err := ready(&p); err != nil {
		return Answer{}, err
	}
	a := solve(p)
	if !a.Found {
		a.Why = why(p)
		a.Relaxed = relax(p)
	}
	if a.Relaxed != nil {
		a.Calendar = a.Relaxed.calendar
		p = a.Relaxed.Problem
	}
	a.Notes = notes(p)
	return a, nil
}

// InTurn places the groups one after the other, in the order given wherever they
// can be, and searches no further: for many small groups whose order means
// something, such as blocks of a design. It keeps every limit that Arrange
// keeps; where it finds no calendar that proves nothing and says no more.
//
// The error is that of Arrange.
func InTurn(p Problem) (Answer, error) {
	if err := ready(&p); err != nil {
		return Answer{}, err
	}
	best := newModel(p, 4).inTurn()
	if best == nil { // less of the tolerances would not do either
		return Answer{}, nil
	}
	for quarters := 1; quarters < 4; quarters++ {
		if b := newModel(p, quarters).inTurn(); b != nil {
			best = b
			break
		}
	}
	return Answer{Found: true, Calendar: best.calendar(), Notes: notes(p)}, nil
}

// ready checks a problem, and that it is not too fine to be tried.
func ready(p *Problem) error {
	if err := check(p); err != nil {
		return err
	}
	if n := len(newModel(*p, 4).slots); n > mostSlots {
		return fmt.Errorf("arrange: %d instants of a grid of %s are too many to try; make the grid coarser", n, schedule.Short(p.Grid))
	}
	return nil
}

// solve looks for a calendar with ever larger parts of the tolerances. What a
// smaller part allows the whole does too, so the whole comes first: without a
// calendar there is none at all.
func solve(p Problem) Answer {
	whole := newModel(p, 4)
	found, proven := whole.feasible(mostLooks)
	if found == nil {
		return Answer{Exact: proven}
	}
	exact := true
	for quarters := 1; quarters <= 4; quarters++ {
		best, proven := newModel(p, quarters).best()
		exact = exact && proven
		if best != nil {
			return Answer{Found: true, Exact: exact, Calendar: best.calendar()}
		}
	}
	return Answer{Found: true, Calendar: found.calendar()}
}
