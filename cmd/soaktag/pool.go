package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// pool takes adhesives together, on purpose.
func (s *session) pool(c *cli.Context, study *tracker.Study, r strength.Report) error {
	if c.Bool("json") {
		return usageError("--pool is for people; --json has every specimen")
	}
	keys, err := poolOf(c.String("pool"), study)
	if err == nil {
		s.printPool(keys, r, study.Units)
	}
	return err
}

// poolOf reads the keys of the adhesives to be taken together.
func poolOf(text string, study *tracker.Study) ([]string, error) {
	var keys []string
	for _, key := range strings.Split(text, ",") {
		key = strings.TrimSpace(key)
		if !slices.ContainsFunc(study.Adhesives, func(a tracker.Adhesive) bool { return a.Key == key }) {
			return nil, usageError("--pool wants adhesives of the plan with commas between, and %q is none", key)
		}
		keys = append(keys, key)
	}
	return keys, nil
}

// printPool says at which strength what share of adhesives taken together
// still holds.
func (s *session) printPool(keys []string, r strength.Report, u quantity.System) {
	s.print("%s taken together: the share that still holds, wood and rig breaks as lower bounds (Kaplan-Meier)\n", strings.Join(keys, ", "))
	for _, p := range r.Pool(keys) {
		s.print("\n%s: %s, %d of them at least; median %s\n", p.Treatment, wording.Plural(p.N, "specimen"), p.AtLeast, medianText(p, u))
		if p.RigsOrStates > 1 {
			s.print("  not broken alike: on %d rigs or in as many states\n", p.RigsOrStates)
		}
		t := screen.NewTable(">up to "+u.StressUnit(), ">there", ">broke", ">still hold", "95 % limits")
		for _, step := range p.Steps {
			limits := "-"
			if step.Limits != nil {
				limits = fmt.Sprintf("%.0f to %.0f %%", 100*step.Limits.Low, 100*step.Limits.High)
			}
			t.Row(wording.StressCell(u, &step.At), count(step.AtRisk), count(step.Events), fmt.Sprintf("%.0f %%", 100*step.Survival), limits)
		}
		s.print("%s", t)
	}
}

func medianText(p strength.Pooled, u quantity.System) string {
	if p.Median == nil {
		return "not reached: less than half broke"
	}
	return fmt.Sprintf("%s %s (95 %%: from %s to %s)", wording.StressCell(u, p.Median), u.StressUnit(), wording.StressCell(u, p.MedianLow), wording.StressCell(u, p.MedianHigh))
}
