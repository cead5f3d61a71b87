package design

import (
	"cmp"
	"slices"
	"time"

	"soaktag/tracker"
)

// A rack has the clamps, each of which is on a bond until some instant.
type rack struct {
	study *tracker.Study
	until []time.Time
	each  map[string]int // clamps to a bond, by adhesive
}

func newRack(s *tracker.Study) *rack {
	r := &rack{s, make([]time.Time, s.Specimen.Clamps), map[string]int{}}
	for _, c := range Clampings(s) {
		r.each[c.Adhesive] = c.Each()
	}
	return r
}

// hold puts the first clamps on bonds that were glued before.
func (r *rack) hold(bonds []Held) {
	for _, h := range bonds {
		r.take(r.needs(h.Specimen), time.Time{}, h.Until)
	}
}

// sitting puts the bonds of a sitting, which are in the order of time, into
// clamps: along the order to glue where enough are free when it begins, else as
// they come back.
func (r *rack) sitting(bonds []press) (sitting Sitting) {
	begins, needed := bonds[0].from, 0
	for _, b := range bonds {
		needed += r.needs(b.Specimen)
	}
	atOnce := needed <= r.free(begins)
	numbers := map[string][]int{}
	order := inOrder(bonds)
	if atOnce {
		bonds = order
	}
	for _, b := range bonds {
		at := b.from
		if atOnce {
			at = begins
		}
		numbers[b.Code.String()] = r.take(r.needs(b.Specimen), at, b.until)
	}
	for _, b := range order {
		sitting.Bonds = append(sitting.Bonds, Glued{b.Specimen, numbers[b.Code.String()]})
	}
	return sitting
}

// needs is how many clamps of the rack a bond takes.
func (r *rack) needs(sp tracker.Specimen) int {
	if len(r.until) == 0 || !clamped(r.study, sp) {
		return 0
	}
	return min(r.each[sp.Adhesive], len(r.until))
}

// free counts the clamps that are on no bond at an instant.
func (r *rack) free(at time.Time) (n int) {
	for _, until := range r.until {
		if !until.After(at) {
			n++
		}
	}
	return n
}

// take puts the first free clamps on a bond.
func (r *rack) take(n int, at, until time.Time) (numbers []int) {
	for i := range r.until {
		if len(numbers) < n && !r.until[i].After(at) {
			r.until[i], numbers = until, append(numbers, i+1)
		}
	}
	return numbers
}

// inOrder puts the bonds of a sitting as dealt, where there are no boards the
// adhesives together in the order in which they come first: one pot each.
func inOrder(bonds []press) []press {
	list := slices.Clone(bonds)
	slices.SortStableFunc(list, func(a, b press) int {
		return cmp.Or(a.Order-b.Order, a.Code.Serial-b.Code.Serial)
	})
	if slices.ContainsFunc(list, func(b press) bool { return b.Board != "" }) {
		return list
	}
	keys := adhesivesOf(specimensIn(list))
	slices.SortStableFunc(list, func(a, b press) int {
		return slices.Index(keys, a.Adhesive) - slices.Index(keys, b.Adhesive)
	})
	return list
}
