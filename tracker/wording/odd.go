package wording

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
)

// An Odd is a specimen that did not simply break within its plan, with its marks,
// or what several came to without a mark, or a mark that a crowd bears, with who.
type Odd struct {
	Says  string
	Who   []string
	Marks []string
}

// OddOf are all there are, the crowds first.
func OddOf(all []strength.Specimen, u quantity.System) (out []Odd) {
	crowds := strength.Crowds(all, strength.Specimen.Rules)
	for _, c := range crowds {
		out = append(out, crowd(c, all))
	}
	var alike likewise
	for _, sp := range all {
		marks := ownMarks(sp, crowds)
		if !sp.Odd(len(marks)) {
			continue
		}
		who, how := strings.TrimSpace(sp.Code+" "+string(sp.Name)), Strength(sp, u)
		if len(marks) > 0 || !alike.joins(out, who, how) {
			out = append(out, odd(who, how, marks))
		}
		if len(marks) == 0 {
			alike.note(len(out)-1, who, how)
		}
	}
	return out
}

// A likewise knows where those stand that came to the same without a mark, and the
// first of them.
type likewise map[string]struct {
	at    int
	first string
}

// joins puts one beside those that came to the same; false where it is the first.
func (l likewise) joins(out []Odd, who, how string) bool {
	came, with := cameTo(who, how)
	before, met := l[came]
	if !met {
		return false
	}
	o := &out[before.at]
	if len(o.Who) == 0 {
		o.Says, o.Who = came, []string{before.first}
	}
	o.Who = append(o.Who, with)
	return true
}

func (l *likewise) note(at int, who, how string) {
	came, first := cameTo(who, how)
	if _, met := (*l)[came]; met {
		return
	}
	if *l == nil {
		*l = likewise{}
	}
	(*l)[came] = struct {
		at    int
		first string
	}{at, first}
}

// cameTo parts what became of a specimen from its number, which goes with its name.
func cameTo(who, how string) (came, with string) {
	came, number, found := strings.Cut(how, ", ")
	if !found || number == "counted as 0" {
		return how, who
	}
	return came, who + " " + number
}

// odd is one specimen, with its only mark in the same line where there is room.
func odd(who, how string, marks []string) Odd {
	if len(marks) == 1 && utf8.RuneCountInString(who+how+marks[0]) < oneLine {
		return Odd{Says: who + ": " + how + "; " + marks[0]}
	}
	return Odd{Says: who + ": " + how, Marks: marks}
}

// oneLine is how many letters of a specimen and its only mark stand in one line.
const oneLine = 94

// crowd names those who bear a mark, or the fewer who do not.
func crowd(c strength.Crowd, all []strength.Specimen) Odd {
	n := len(c.Who)
	if 2*n <= len(all) {
		return Odd{Says: c.Rule + ": " + Plural(n, "specimen"), Who: called(c.Who)}
	}
	bears := map[string]bool{}
	for _, sp := range c.Who {
		bears[sp.Code] = true
	}
	rest := slices.DeleteFunc(slices.Clone(all), func(sp strength.Specimen) bool { return bears[sp.Code] })
	if len(rest) == 0 {
		return Odd{Says: fmt.Sprintf("%s: all %d specimens", c.Rule, n)}
	}
	return Odd{Says: fmt.Sprintf("%s: %d of %d specimens, all but", c.Rule, n, len(all)), Who: called(rest)}
}

func called(all []strength.Specimen) (names []string) {
	for _, sp := range all {
		names = append(names, sp.Called())
	}
	return names
}

// ownMarks are the texts of a specimen's marks, each once, without those that
// were told for a crowd.
func ownMarks(sp strength.Specimen, told []strength.Crowd) (texts []string) {
	for _, m := range sp.Marks {
		text := StrengthMark(m)
		crowded := slices.ContainsFunc(told, func(c strength.Crowd) bool { return c.Rule == m.Rule })
		if !crowded && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return texts
}
