// Package learnt is what studies that were carried out teach the next one. It reads their
// records and writes nothing; every figure says what it rests on, and says when that is too
// little to plan by.
package learnt

import (
	"cmp"
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// A Past is a study that was carried out, or is under way.
type Past struct {
	id    string // of the event that began it
	Study *tracker.Study
	strength.Report
	mishaps
}

// Of reads a record. One without a study teaches nothing.
func Of(rec *tracker.Record) (p Past, ok bool) {
	if rec.Study() == nil || len(rec.Events()) == 0 {
		return Past{}, false
	}
	return Past{rec.Events()[0].ID, rec.Study(), strength.Results(rec), mishapsOf(rec)}, true
}

// Each has every study once, however often it or a copy of it was named, in an order of its
// own: no answer hangs on the order in which they are named. Of copies the one that knows of
// more breaks counts.
func Each(named []Past) (all []Past) {
	sorted := slices.Clone(named)
	slices.SortStableFunc(sorted, func(a, b Past) int {
		return cmp.Or(cmp.Compare(a.id, b.id), cmp.Compare(b.broken(), a.broken()))
	})
	return slices.CompactFunc(sorted, func(a, b Past) bool { return a.id == b.id })
}

// broken counts those that have a reading.
func (p Past) broken() (n int) {
	for _, s := range p.Specimens {
		if s.ShearMPa != nil {
			n++
		}
	}
	return n
}

// bonded are the groups of an adhesive: solid wood is no bond.
func (p Past) bonded() (out []strength.Group) {
	for _, g := range p.Groups {
		if a := p.Study.Adhesive(g.Adhesive); a != nil && !a.SolidWood {
			out = append(out, g)
		}
	}
	return out
}
