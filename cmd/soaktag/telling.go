package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
)

// printTelling says what the planned number of specimens can tell apart, and
// what more of each would buy.
func (s *session) printTelling(study *tracker.Study) {
	all, err := design.Tell(study)
	if err != nil || len(all) == 0 {
		return
	}
	k := all[0].K
	heading := fmt.Sprintf("Can tell apart: the ratio of two strengths that is found %.0f times in 100 (a scatter of %.0f %% assumed)",
		100*design.Power, 100*design.Scatter)
	s.table(heading, func(w io.Writer) {
		fmt.Fprintf(w, "  \teach\tone pair%s\tfor\n", ifMany(k, "\tany of %d pairs", k*(k-1)/2))
		for _, t := range all {
			name := strings.Join(t.Treatments, ", ")
			if name == "" {
				name = "or with"
			}
			fmt.Fprintf(w, "  %s\t%d\t%.2f%s\t%s\n", name, t.N, t.Pair, ifMany(k, "\t%.2f", t.All), price(study, t))
		}
	})
	if k > 2 {
		s.print("  Were all %d equal, the best of them with %d each would look %.0f %% ahead of the next in %.0f studies of 100.\n",
			k, all[0].N, 100*design.Ahead, 100*all[0].ByChance)
	}
}

// price is what more specimens of each cost: bonds, glue, sittings at the
// clamps, and hours at the press.
func price(study *tracker.Study, t design.Telling) string {
	if t.More == 0 {
		return "as planned"
	}
	bonds := t.More * t.K * len(study.Treatments)
	parts := []string{fmt.Sprintf("%d more bonds", bonds)}
	grams := 0.0
	for _, m := range design.AdhesiveMasses(study) {
		if m.Bonds > 0 {
			grams += m.Mix.G() / float64(m.Bonds) * float64(t.More*len(study.Treatments))
		}
	}
	if grams > 0 {
		parts = append(parts, fmt.Sprintf("%.0f g of adhesive", grams))
	}
	if study.Specimen.Clamps > 0 {
		parts = append(parts, wording.Plural(design.Sittings(specimenCount(study)+bonds, study.Specimen.Clamps), "sitting")+" in all")
	}
	return strings.Join(append(parts, schedule.Short(time.Duration(bonds)*study.Hands(schedule.Break))+" at the press"), ", ")
}

// ifMany writes what only more than one pair of k adhesives needs.
func ifMany(k int, format string, value any) string {
	if k < 3 {
		return ""
	}
	return fmt.Sprintf(format, value)
}

// detectable is the ratio found in any pair of the treatment with the fewest
// specimens; nil where there is nothing to tell apart.
func detectable(study *tracker.Study) *float64 {
	all, err := design.Tell(study)
	if err != nil {
		return nil
	}
	worst := 0.0
	for _, t := range all {
		if len(t.Treatments) > 0 {
			worst = max(worst, t.All)
		}
	}
	if worst == 0 {
		return nil
	}
	worst = math.Round(worst*1000) / 1000
	return &worst
}
