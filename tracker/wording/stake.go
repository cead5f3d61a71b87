package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/strength"
)

// fewStakes is how many lines say what does not stand before the rest is counted.
const fewStakes = 3

// stillAtStake says what accepting does not mend.
func stillAtStake(stakes []strength.Stake) (out []Sentence) {
	lines := stakeLines(stakes)
	for _, line := range lines[:min(len(lines), fewStakes)] {
		out = append(out, tell("accepting does not mend this: %s", line))
	}
	if more := len(lines) - len(out); more > 0 {
		out = append(out, tell("nor %s: soaktag drift says which", Counted(more, "thing more", "things more")))
	}
	return out
}

// stakeLines says in a line each what does not stand, adhesives that share treatment
// and interval together.
func stakeLines(stakes []strength.Stake) (lines []string) {
	type about struct {
		treatment, interval string
		kept, unless, pair  bool
	}
	var order []about
	of := map[about][]strength.Stake{}
	for _, s := range stakes {
		k := about{s.Who.Treatment, s.Interval, s.Kept, s.Unless, s.Reason.Kind == strength.TooFarApart && !s.Kept}
		if of[k] == nil {
			order = append(order, k)
		}
		of[k] = append(of[k], s)
	}
	for _, k := range order {
		lines = append(lines, stakeLine(of[k]))
	}
	return lines
}

func stakeLine(of []strength.Stake) string {
	first := of[0]
	who, whom, why := []string{}, "it", []string{}
	for _, s := range of {
		name := s.Who.Adhesive
		if s.Reason.Kind == strength.TooFarApart && !s.Kept {
			name += " with " + s.Reason.Than.Adhesive
		}
		if !slices.Contains(who, name) {
			who = append(who, name)
		}
		why = append(why, Reason(s.Reason))
	}
	if len(who) > 1 {
		whom = "they"
	}
	what := fmt.Sprintf("comparisons of %s %s do not stand", strings.Join(who, ", "), first.Who.Treatment)
	if first.Kept {
		what = "what is kept of the dry strength cannot be told for " + strings.Join(who, ", ")
	}
	if first.Unless {
		what += ", unless " + whom + " came out above the others"
	}
	return what + ", because " + someReasons(why)
}

// someReasons lists reasons, of many the first.
func someReasons(why []string) string {
	if more := len(why) - 2; more > 0 {
		return strings.Join(why[:2], "; ") + fmt.Sprintf("; and %d more", more)
	}
	return strings.Join(why, "; ")
}
