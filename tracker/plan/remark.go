package plan

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// A Remark is a Problem that is told once, and the other lines that have it too.
type Remark struct {
	Problem
	Also []int
}

// Remarks lists what is to be said of problems: one that holds in several places
// once, and of a plan without errors not what its summary says as well.
func Remarks(problems []Problem) (all []Remark) {
	broken := slices.ContainsFunc(problems, func(p Problem) bool { return p.Level == Error })
	for _, p := range problems {
		if !broken && summarised(p.Rule) {
			continue
		}
		i := slices.IndexFunc(all, func(r Remark) bool { return twins(p, r.Problem) })
		if i < 0 {
			all = append(all, Remark{Problem: p})
			continue
		}
		if p.Line != all[i].Line && !slices.Contains(all[i].Also, p.Line) {
			all[i].Also = append(all[i].Also, p.Line)
		}
	}
	return all
}

// summarised reports whether the summary says what a rule says.
func summarised(rule string) bool { return rule == "wood-floats" || rule == "water-changes" }

// twins reports whether two problems are one, in two places of the file. Errors
// are put right one by one.
func twins(a, b Problem) bool {
	return a.Level != Error && a.Rule == b.Rule && a.Line > 0 && b.Line > 0 && a.Hint == b.Hint && a.Level == b.Level
}

// Sentence says where and what; of what is no error its hint as well.
func (r Remark) Sentence() string {
	text := r.File + ": "
	if r.Line > 0 {
		text = fmt.Sprintf("%s:%d:%d: ", r.File, r.Line, r.Column)
	}
	text += r.Text + r.also()
	if r.Level != Error && r.Hint != "" {
		text += "; " + r.Hint
	}
	return text
}

func (r Remark) also() string {
	var lines []string
	for _, n := range r.Also {
		lines = append(lines, strconv.Itoa(n))
	}
	switch len(lines) {
	case 0:
		return ""
	case 1:
		return ", also line " + lines[0]
	}
	return ", also lines " + strings.Join(lines, ", ")
}
