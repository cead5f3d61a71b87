package wording

import (
	"cmp"
	"fmt"
	"slices"

	"soaktag/tracker"
)

// fewMarks is how many open marks of one rule are told one by one.
const fewMarks = 3

// An Asked is what the marks of one rule ask: a line each, or, where many specimens
// bear one, a line for all of them and their codes.
type Asked struct{ Lines, Codes []string }

// Asks tells what asks rule by rule, in the order in which rules first asked.
func Asks(open []tracker.Mark) (all []Asked) {
	var order []tracker.Rule
	byRule := map[tracker.Rule][]tracker.Mark{}
	for _, m := range open {
		if byRule[m.Rule] == nil {
			order = append(order, m.Rule)
		}
		byRule[m.Rule] = append(byRule[m.Rule], m)
	}
	for _, rule := range order {
		all = append(all, asked(byRule[rule]))
	}
	return all
}

func asked(marks []tracker.Mark) (out Asked) {
	for _, m := range marks {
		whom := cmp.Or(m.Code, "the study")
		out.Codes = append(out.Codes, whom)
		out.Lines = append(out.Lines, fmt.Sprintf("%s: %s: %s", m.Rule, whom, MarkText(m)))
	}
	if out.Lines = slices.Compact(out.Lines); len(out.Lines) <= fewMarks { // two entries may ask in the same words
		return Asked{Lines: out.Lines}
	}
	first := fmt.Sprintf("%s: %d ask, such as %s: %s", marks[0].Rule, len(marks), out.Codes[0], MarkText(marks[0]))
	return Asked{[]string{first}, slices.Compact(out.Codes)}
}
