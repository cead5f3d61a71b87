package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/schedule"
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

// InDanger says in a line each what is in danger and what can still be done, of many
// the first few.
func InDanger(dangers []strength.Danger) (lines []string) {
	for _, d := range dangers[:min(len(dangers), fewStakes)] {
		lines = append(lines, "in danger: "+Danger(d))
	}
	if more := len(dangers) - len(lines); more > 0 {
		lines = append(lines, fmt.Sprintf("in danger: %d more; soaktag drift says which", more))
	}
	return lines
}

// Danger says what is in danger, and what can still be done.
func Danger(d strength.Danger) string {
	who, whose, of := party(d.Who), party(d.Who), d.Code
	if d.Running > 1 {
		of = fmt.Sprintf("%d, such as %s", d.Running, d.Code)
	}
	if d.Running > 0 {
		whose = of + " (" + who + ")"
	}
	ran := fmt.Sprintf("%s of %s has run %s, the others' %s", d.Interval, whose, schedule.Short(d.Ran), schedule.Short(d.OthersRan))
	switch {
	case d.Left > 0:
		return fmt.Sprintf("%s of %s (%s) goes on while the others' has ended: %s within %s, or it leaves its limit", d.Interval, d.Code, who, d.Ends, schedule.Short(d.Left))
	case d.Reason.Kind == 0:
		return fmt.Sprintf("%s of %s goes on past its limit, unlike the rest of %s: %s now", d.Interval, of, who, d.Ends)
	case d.Reason.Kind != strength.Differs || d.OthersRan == 0:
		return fmt.Sprintf("comparisons of %s: %s%s", who, Reason(d.Reason), spurs(d, of))
	case d.Running == 0:
		return fmt.Sprintf("%s of %s lasted %s, the others' is to last %s: %s of the %s after %s too, and they can be compared", d.Interval, who,
			schedule.Short(d.Ran), schedule.Short(d.OthersRan), d.Ends, Counted(d.Others, "that goes on", "that go on"), schedule.Short(d.Ran))
	case d.Alike.IsZero():
		return ran + fmt.Sprintf(": %s now, every hour sets it further apart", d.Ends)
	}
	return ran + fmt.Sprintf(": %s now leaves it %s short of theirs, on %s it is as long", d.Ends, schedule.Short(d.OthersRan-d.Ran), clockTime(d.Alike))
}

// spurs says of whom to end an interval that leaves its limit.
func spurs(d strength.Danger, of string) string {
	if d.Running == 0 {
		return ""
	}
	return fmt.Sprintf("; %s of %s now, it is past its limit", d.Ends, of)
}
