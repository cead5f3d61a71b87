package main

import (
	"fmt"
	"io"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
)

// printBaths lists what every body of water holds and needs, and what sharing
// it mixes up.
func (s *session) printBaths(study *tracker.Study) {
	baths := design.Baths(study)
	if len(baths) == 0 {
		return
	}
	u := study.Units
	s.table("Baths (water: five times the wood; steel: twice the lift)", func(w io.Writer) {
		fmt.Fprintln(w, "  bath\tadhesives\tspecimens\twater at least\tsteel")
		for _, b := range baths {
			fmt.Fprintf(w, "  %s\t%s\t%d\t%s\t%s\n", bathName(b), strings.Join(b.Adhesives, ", "), b.Specimens, fillText(b, u), steelText(b, u))
		}
	})
	if text := design.Confounding(baths); text != "" {
		s.print("%s", folded(summaryWidth, strings.Fields(text+"."), "  "))
	}
	if text := ceilingText(study); text != "" {
		s.print("  %s\n", text)
	}
}

func bathName(b design.Bath) string {
	if b.Name == "" {
		return "one tub"
	}
	return b.Name
}

func fillText(b design.Bath, u quantity.System) string {
	if b.Water == 0 {
		return "-"
	}
	return u.Volume(b.Water)
}

func steelText(b design.Bath, u quantity.System) string {
	if b.Steel == 0 {
		return "-"
	}
	return u.Mass(b.Steel)
}

// ceilingText says how much water the wood can take up at most.
func ceilingText(study *tracker.Study) string {
	wood, err := design.FindWood(study.Wood.Species)
	if err != nil || !(wood.GravityGreen > 0) {
		return ""
	}
	return fmt.Sprintf("%s takes up water to %.0f %% of its dry mass at most (%s); a reading above that is a slip", study.Wood.Species,
		design.MaxMoisture(wood.GravityGreen).Percent(), "Wood Handbook, from memory")
}
