package main

import (
	"strings"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
)

// printBaths lists what every body of water holds and needs, and what sharing
// it mixes up.
func (s *session) printBaths(study *tracker.Study) {
	baths := design.Baths(study)
	if len(baths) == 0 {
		return
	}
	u := study.Units
	t := screen.NewTable("bath", "adhesives", "specimens", "water at least", "steel")
	for _, b := range baths {
		t.Row(wording.BathName(b), strings.Join(b.Adhesives, ", "), count(b.Specimens), orDash(b.Water > 0, u.Volume(b.Water)), orDash(b.Steel > 0, u.Mass(b.Steel)))
	}
	s.table("Baths (water: five times the wood; steel: twice the lift)", t)
	if text := wording.Confounding(design.ConfoundingOf(baths)); text != "" {
		s.print("%s", screen.Fold(summaryWidth, strings.Fields(text+"."), "  "))
	}
	if text := wording.WaterChanges(study); text != "" {
		s.print("%s", screen.Fold(summaryWidth, strings.Fields(text), "  "))
	}
	if most := design.Ceiling(study); most > 0 {
		s.print("  %s takes up water to %.0f %% of its dry mass at most (Wood Handbook, from memory); a reading above that is a slip\n",
			study.Wood.Species, most.Percent())
	}
}

// orDash is a number, or a dash where it is not known.
func orDash(known bool, number string) string {
	if !known {
		return "-"
	}
	return number
}
