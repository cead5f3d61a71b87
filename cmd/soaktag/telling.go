package main

import (
	"fmt"
	"strings"

	"soaktag/cmd/soaktag/internal/screen"
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
	heads := []string{"", "each", "one pair"}
	if k > 2 {
		heads = append(heads, fmt.Sprintf("any of %d pairs", k*(k-1)/2))
	}
	t := screen.NewTable(append(heads, "surely", "for")...)
	for _, told := range all {
		t.Row(tellingRow(told, study, k)...)
	}
	s.table(heading, t)
	if k > 2 {
		s.print("  Were all %d equal, the best of them with %d each would look %.0f %% ahead of the next in %.0f studies of 100.\n",
			k, all[0].N, 100*design.Ahead, 100*all[0].ByChance)
	}
}

// tellingRow is what so many of each can tell; more than one pair of k adhesives
// has a column of its own.
func tellingRow(t design.Telling, study *tracker.Study, k int) []string {
	name := strings.Join(t.Treatments, ", ")
	if name == "" {
		name = "or with"
	}
	row := []string{name, count(t.N), wording.Detected(t, t.Pair)}
	if k > 2 {
		row = append(row, wording.Detected(t, t.All))
	}
	return append(row, wording.Detected(t, t.Sure), wording.Price(t.Price(study)))
}
