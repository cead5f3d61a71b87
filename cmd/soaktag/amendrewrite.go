package main

import (
	"fmt"
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// rewrites says what of another plan would contradict what was dealt and
// recorded, each with what to type instead; nothing when it may be put in force.
func rewrites(rec *tracker.Record, next *tracker.Study) (why []string) {
	old := rec.Study()
	if next.Prefix != old.Prefix {
		why = append(why, fmt.Sprintf("prefix %q: every label says %s; write prefix = %q, or begin another study with it: soaktag begin FILE.toml", next.Prefix, old.Prefix, old.Prefix))
	}
	if next.Zone.String() != old.Zone.String() {
		why = append(why, fmt.Sprintf("zone %q: times were written down in %s; write zone = %q, or begin another study with it: soaktag begin FILE.toml", next.Zone, old.Zone, old.Zone))
	}
	why = append(why, removed(rec, next)...)
	why = append(why, rerouted(rec, next)...)
	return append(why, rigsGone(rec, next)...)
}

// removed names adhesives, treatments and boards that specimens have and the
// next plan has not.
func removed(rec *tracker.Record, next *tracker.Study) []string {
	var gone tally
	for _, sp := range rec.Specimens() {
		if adhesiveOf(next, sp.Adhesive) == nil {
			gone.add("adhesive.%s is gone: put it back, its name may change, its key may not; specimens that have it", sp.Adhesive)
		}
		if treatmentOf(next, sp.Treatment) == nil {
			gone.add("treatment.%s is gone: put it back; specimens that have it", sp.Treatment)
		}
		if sp.Board != "" && !hasBoard(next, sp.Board) {
			gone.add("board %q is gone from wood.boards: put it back; specimens cut from it", sp.Board)
		}
	}
	return gone.lines()
}

// rerouted names groups whose specimens would go through other stages. The
// clamp is not meant: it holds for what is glued later.
func rerouted(rec *tracker.Record, next *tracker.Study) []string {
	var other tally
	for _, sp := range rec.Specimens() {
		if adhesiveOf(next, sp.Adhesive) == nil || treatmentOf(next, sp.Treatment) == nil {
			continue
		}
		was, is := unclamped(rec.Study().Path(sp)), unclamped(next.Path(sp))
		if !slices.Equal(was, is) {
			other.add("%s %s would go through other stages: leave it as it was and give what is new a key of its own, then soaktag amend add; specimens of it",
				sp.Adhesive, sp.Treatment)
		}
	}
	return other.lines()
}

func unclamped(path []schedule.Stage) []schedule.Stage {
	return slices.DeleteFunc(slices.Clone(path), func(s schedule.Stage) bool { return s == schedule.ClampRemoval })
}

// rigsGone names rigs on which something was read and which the next plan has not.
func rigsGone(rec *tracker.Record, next *tracker.Study) []string {
	var gone tally
	for _, life := range rec.Lives() {
		for _, try := range life.Tries {
			known := func(s *tracker.Study) bool {
				return slices.ContainsFunc(s.Rigs, func(r tracker.Rig) bool { return r.Name == try.Rig })
			}
			if known(rec.Study()) && !known(next) {
				gone.add("rig %q is gone: put it back; tries read on it", try.Rig)
			}
		}
	}
	return gone.lines()
}

func (t *tally) lines() (lines []string) {
	for _, line := range t.order {
		lines = append(lines, fmt.Sprintf("%s: %d", line, t.n[line]))
	}
	return lines
}

func adhesiveOf(s *tracker.Study, key string) *tracker.Adhesive {
	i := slices.IndexFunc(s.Adhesives, func(a tracker.Adhesive) bool { return a.Key == key })
	if i < 0 {
		return nil
	}
	return &s.Adhesives[i]
}

func treatmentOf(s *tracker.Study, key string) *tracker.Treatment {
	i := slices.IndexFunc(s.Treatments, func(t tracker.Treatment) bool { return t.Key == key })
	if i < 0 {
		return nil
	}
	return &s.Treatments[i]
}

func hasBoard(s *tracker.Study, name string) bool {
	return slices.ContainsFunc(s.Wood.Boards, func(b tracker.Board) bool { return b.Name == name })
}
