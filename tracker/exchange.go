package tracker

import (
	"cmp"
	"slices"
	"time"

	"soaktag/labels"
)

// Labels that sat on each other's specimen are swapped in thought as they were in the
// workshop: the exchanges in force at an instant are gone through in the order of the times
// from which they hold, and each moves its two labels from where they are by then.

// A swap is an exchange that counts: the labels of two specimens, from an instant until
// just before another; a zero time has no limit.
type swap struct {
	*Event
	a, b        int
	from, until time.Time
}

func (s swap) holds(at time.Time) bool { return within(s.from, s.until, at) }

func within(from, until, at time.Time) bool {
	return !at.Before(from) && (until.IsZero() || at.Before(until))
}

// across is what a swap puts in the place of specimen i: the other of its two, or i.
func (s swap) across(i int) int {
	switch i {
	case s.a:
		return s.b
	case s.b:
		return s.a
	}
	return i
}

// swapping lists the swaps in their order, each pair at most once at a time: who says again
// that two labels are exchanged, in another notebook perhaps, does not put them right.
func (r *Record) swapping() []swap {
	if r.swaps != nil {
		return r.swaps
	}
	r.swaps = []swap{}
	for _, e := range slices.SortedFunc(slices.Values(r.exchanges), r.bySwapping) {
		a, okA := r.index(e.Code)
		b, okB := r.index(e.Other)
		if e.Kind != Exchanged || !okA || !okB || a == b || r.Voided(e.ID) {
			continue
		}
		if s := (swap{e, min(a, b), max(a, b), e.At.Mid(), e.Until.Mid()}); s.unsaid(r.swaps) {
			r.swaps = append(r.swaps, s)
		}
	}
	return r.swaps
}

// unsaid takes off a swap the time for which earlier ones have its pair already, and
// reports whether some is left.
func (s *swap) unsaid(earlier []swap) bool {
	for _, was := range earlier {
		if was.a != s.a || was.b != s.b || !was.until.IsZero() && !s.from.Before(was.until) {
			continue
		}
		if was.until.IsZero() || !s.until.IsZero() && !s.until.After(was.until) {
			return false
		}
		s.from = was.until
	}
	return true
}

// bySwapping orders exchanges as labels were moved: by the time from which each holds, of
// one time as they were first written down. The order of arrival never decides.
func (r *Record) bySwapping(a, b *Event) int {
	x, y := r.firstSaid(a), r.firstSaid(b)
	return cmp.Or(a.At.Mid().Compare(b.At.Mid()), inWritingOrder(x, y), cmp.Compare(a.ID, b.ID))
}

// firstSaid is the entry that an exchange corrects in the end; itself where it corrects none.
func (r *Record) firstSaid(e *Event) *Event {
	for range len(r.exchanges) { // as long a chain as there can be
		target, ok := r.byID[e.Target]
		if !ok || target.Kind != e.Kind {
			break
		}
		e = target
	}
	return e
}

// meaning returns the specimen that a code as read stood for at an instant: its own, unless
// somebody recorded that labels were exchanged then, or explained a code that nobody knew.
func (r *Record) meaning(code string, at time.Time) (int, bool) {
	i, ok := r.index(code)
	if len(r.exchanges) == 0 {
		return i, ok
	}
	if !ok {
		return r.explained(code, at)
	}
	for _, s := range slices.Backward(r.swapping()) {
		if s.holds(at) {
			i = s.across(i)
		}
	}
	return i, true
}

// explained is the specimen that an unknown code was said to mean at an instant.
func (r *Record) explained(code string, at time.Time) (int, bool) {
	for _, e := range slices.SortedFunc(slices.Values(r.exchanges), r.bySwapping) {
		if e.Kind != Relabelled || e.Other != code || !within(e.At.Mid(), e.Until.Mid(), at) || r.Voided(e.ID) {
			continue
		}
		if i, ok := r.index(e.Code); ok {
			return i, true
		}
	}
	return 0, false
}

// Exchanges lists the exchanges that stand between a label and its own specimen at an instant,
// in the order in which labels were moved; empty where the label means what it says.
func (r *Record) Exchanges(code string, at time.Time) (through []Event) {
	i, ok := r.index(code)
	for _, s := range slices.Backward(r.swapping()) {
		if next := s.across(i); ok && next != i && s.holds(at) {
			i, through = next, append(through, *s.Event)
		}
	}
	slices.Reverse(through)
	return through
}

// Meant is the specimen whose block bears a label at an instant: c itself, unless
// labels are exchanged then.
func (r *Record) Meant(c labels.Code, at time.Time) labels.Code {
	if i, ok := r.meaning(c.Whole().String(), at); ok {
		return half(r.specimens[i].Code, c.Half)
	}
	return c
}

// Label is the label that is on the block of a specimen at an instant, the reverse of
// Meant: what somebody at the block can find, and has to type.
func (r *Record) Label(c labels.Code, at time.Time) labels.Code {
	i, ok := r.byCode[c.Whole()]
	if !ok {
		return c
	}
	for _, s := range r.swapping() {
		if s.holds(at) {
			i = s.across(i)
		}
	}
	return half(r.specimens[i].Code, c.Half)
}

// mixedUp reports whether other labels than its own may have stood for a specimen.
func (r *Record) mixedUp(i int) bool {
	return slices.ContainsFunc(r.exchanges, func(e *Event) bool {
		a, okA := r.index(e.Code)
		b, okB := r.index(e.Other)
		return okA && a == i || okB && b == i
	})
}
