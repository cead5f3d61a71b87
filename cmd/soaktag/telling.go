package main

import (
	"fmt"
	"io"
	"strings"

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
			fmt.Fprintf(w, "  %s\t%d\t%.2f%s\t%s\n", name, t.N, t.Pair, ifMany(k, "\t%.2f", t.All), wording.Price(t.Price(study)))
		}
	})
	if k > 2 {
		s.print("  Were all %d equal, the best of them with %d each would look %.0f %% ahead of the next in %.0f studies of 100.\n",
			k, all[0].N, 100*design.Ahead, 100*all[0].ByChance)
	}
}

// ifMany writes what only more than one pair of k adhesives needs.
func ifMany(k int, format string, value any) string {
	if k < 3 {
		return ""
	}
	return fmt.Sprintf(format, value)
}
