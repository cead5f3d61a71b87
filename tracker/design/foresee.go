package design

import (
	"fmt"

	"soaktag/tracker"
)

// A Warning is something in a plan that will go wrong or cannot answer what is
// asked of it. Rule names its sort and is stable, Key is the place in the plan's
// own words, Hint what to do about it.
type Warning struct{ Rule, Key, Text, Hint string }

// Foresee returns the warnings that follow from numbers of the plan alone, in
// the order of the plan file: boards that do not give the blanks, and too few
// clamps. What the plan file says wrongly is package plan's to tell.
func Foresee(s *tracker.Study) []Warning {
	return append(shortBoards(s), fewClamps(s)...)
}

func shortBoards(s *tracker.Study) []Warning {
	var w []Warning
	for _, c := range CutList(s) {
		if !c.Enough() {
			text := fmt.Sprintf("board %s gives %d blanks, %d are wanted", c.Board, c.Fits, c.Blanks)
			w = append(w, Warning{"board-too-small", "wood.boards", text, "take a longer or wider board, or fewer replicates"})
		}
	}
	return w
}

// fewClamps counts the bonds against the clamps: all are glued in one session
// unless the person arranges otherwise.
func fewClamps(s *tracker.Study) []Warning {
	bonds := 0
	for _, m := range AdhesiveMasses(s) {
		bonds += m.Bonds
	}
	if s.Specimen.Clamps == 0 || bonds <= s.Specimen.Clamps {
		return nil
	}
	sessions := (bonds + s.Specimen.Clamps - 1) / s.Specimen.Clamps
	text := fmt.Sprintf("%d clamps hold %d of %d bonds", s.Specimen.Clamps, s.Specimen.Clamps, bonds)
	return []Warning{{"few-clamps", "specimen.clamps", text, fmt.Sprintf("plan %d glue-ups", sessions)}}
}
