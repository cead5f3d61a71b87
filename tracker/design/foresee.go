package design

import (
	"fmt"
	"strings"

	"soaktag/tracker"
)

// A Warning is something in a plan that will go wrong or cannot answer what is
// asked of it.
type Warning struct{ Rule, Key, Text string }

// Foresee returns the warnings that follow from numbers of the plan alone, in
// the order of the plan file: boards that do not give the blanks, too few
// clamps, single specimens that cannot rank, no control to compare with.
func Foresee(s *tracker.Study) []Warning {
	var w []Warning
	w = append(w, shortBoards(s)...)
	w = append(w, thickBlanks(s)...)
	w = append(w, fewClamps(s)...)
	w = append(w, singles(s)...)
	return append(w, noControl(s)...)
}

func shortBoards(s *tracker.Study) []Warning {
	var w []Warning
	for _, c := range CutList(s) {
		if !c.Enough() {
			text := fmt.Sprintf("board %s gives %d blanks, %d are wanted; a longer or wider board, or fewer replicates", c.Board, c.Fits, c.Blanks)
			w = append(w, Warning{"board too small", "wood.boards", text})
		}
	}
	return w
}

func thickBlanks(s *tracker.Study) []Warning {
	var w []Warning
	for _, b := range s.Wood.Boards {
		if b.Size.Thickness > 0 && b.Size.Thickness < s.Specimen.Blank.Thickness {
			text := fmt.Sprintf("board %s is %.3g mm thick, the blanks %.3g mm", b.Name, b.Size.Thickness.MM(), s.Specimen.Blank.Thickness.MM())
			w = append(w, Warning{"board too thin", "wood.boards", text})
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
	text := fmt.Sprintf("%d clamps hold %d of %d bonds; plan %d glue-ups", s.Specimen.Clamps, s.Specimen.Clamps, bonds, sessions)
	return []Warning{{"few clamps", "specimen.clamps", text}}
}

func singles(s *tracker.Study) []Warning {
	var keys []string
	for _, t := range s.Treatments {
		for _, a := range s.Adhesives {
			if Replicates(a, t) == 1 {
				keys = append(keys, a.Key+" "+t.Key)
			}
		}
	}
	if len(keys) == 0 {
		return nil
	}
	text := fmt.Sprintf("one specimen each cannot rank adhesives: %s; at least 2, better 4 or more", strings.Join(keys, ", "))
	return []Warning{{"single specimens", "treatment", text}}
}

func noControl(s *tracker.Study) []Warning {
	for _, t := range s.Treatments {
		if t.Control {
			return nil
		}
	}
	return []Warning{{"no control", "treatment", "no treatment has control = true; without a dry control there is no retention"}}
}
