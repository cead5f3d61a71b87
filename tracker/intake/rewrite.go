package intake

import (
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Rewrite is something in another plan that would contradict what was dealt
// and recorded.
type Rewrite struct {
	Of      RewriteOf
	Key     string // of what is gone, or the adhesive
	And     string // Rerouted: the treatment
	Old     string // prefix, zone: as it stands
	New     string // prefix, zone: as the other plan has it
	Counted int    // specimens or tries concerned; 0 for prefix and zone
}

// A RewriteOf says what would be rewritten.
type RewriteOf int

const (
	PrefixChanged RewriteOf = iota // on every label
	ZoneChanged                    // in which times were written down
	AdhesiveGone                   // that specimens have
	TreatmentGone                  // that specimens have
	BoardGone                      // that specimens were cut from
	Rerouted                       // specimens of a group would go through other stages
	RigGone                        // on which something was read
)

// rewrites lists what of another plan would contradict what was dealt and
// recorded; nothing when it may be put in force.
func rewrites(rec *tracker.Record, next *tracker.Study) (all []Rewrite) {
	old := rec.Study()
	if next.Prefix != old.Prefix {
		all = append(all, Rewrite{Of: PrefixChanged, Old: old.Prefix, New: next.Prefix})
	}
	if next.Zone.String() != old.Zone.String() {
		all = append(all, Rewrite{Of: ZoneChanged, Old: old.Zone.String(), New: next.Zone.String()})
	}
	all = append(all, removed(rec, next)...)
	all = append(all, rerouted(rec, next)...)
	return append(all, rigsGone(rec, next)...)
}

// removed names adhesives, treatments and boards that specimens have and the
// next plan has not.
func removed(rec *tracker.Record, next *tracker.Study) []Rewrite {
	var gone counts[Rewrite]
	for _, sp := range rec.Specimens() {
		if next.Adhesive(sp.Adhesive) == nil {
			gone.add(Rewrite{Of: AdhesiveGone, Key: sp.Adhesive})
		}
		if next.Treatment(sp.Treatment) == nil {
			gone.add(Rewrite{Of: TreatmentGone, Key: sp.Treatment})
		}
		if sp.Board != "" && !hasBoard(next, sp.Board) {
			gone.add(Rewrite{Of: BoardGone, Key: sp.Board})
		}
	}
	return counted(gone)
}

// rerouted names groups whose specimens would go through other stages. The
// clamp is not meant: it holds for what is glued later.
func rerouted(rec *tracker.Record, next *tracker.Study) []Rewrite {
	var other counts[Rewrite]
	for _, sp := range rec.Specimens() {
		if next.Adhesive(sp.Adhesive) == nil || next.Treatment(sp.Treatment) == nil {
			continue
		}
		if was, is := unclamped(rec.Study().Path(sp)), unclamped(next.Path(sp)); !slices.Equal(was, is) {
			other.add(Rewrite{Of: Rerouted, Key: sp.Adhesive, And: sp.Treatment})
		}
	}
	return counted(other)
}

func unclamped(path []schedule.Stage) []schedule.Stage {
	return slices.DeleteFunc(slices.Clone(path), func(s schedule.Stage) bool { return s == schedule.ClampRemoval })
}

// rigsGone names rigs on which something was read and which the next plan has not.
func rigsGone(rec *tracker.Record, next *tracker.Study) []Rewrite {
	var gone counts[Rewrite]
	known := func(s *tracker.Study, name string) bool {
		return slices.ContainsFunc(s.Rigs, func(r tracker.Rig) bool { return r.Name == name })
	}
	for _, life := range rec.Lives() {
		for _, try := range life.Tries {
			if known(rec.Study(), try.Rig) && !known(next, try.Rig) {
				gone.add(Rewrite{Of: RigGone, Key: try.Rig})
			}
		}
	}
	return counted(gone)
}

func counted(t counts[Rewrite]) []Rewrite {
	all := slices.Clone(t.order)
	for i, r := range t.order {
		all[i].Counted = t.n[r]
	}
	return all
}

// counts tells how often each thing was said, in the order first said.
type counts[T comparable] struct {
	order []T
	n     map[T]int
}

func (t *counts[T]) add(one T) {
	if t.n == nil {
		t.n = map[T]int{}
	}
	if t.n[one] == 0 {
		t.order = append(t.order, one)
	}
	t.n[one]++
}

func adhesiveKeys(s *tracker.Study) string {
	var keys []string
	for _, a := range s.Adhesives {
		keys = append(keys, a.Key)
	}
	return strings.Join(keys, ", ")
}

func treatmentKeys(s *tracker.Study) string {
	var keys []string
	for _, t := range s.Treatments {
		keys = append(keys, t.Key)
	}
	return strings.Join(keys, ", ")
}

func hasBoard(s *tracker.Study, name string) bool {
	return slices.ContainsFunc(s.Wood.Boards, func(b tracker.Board) bool { return b.Name == name })
}
