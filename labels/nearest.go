package labels

import (
	"slices"
	"strings"
)

// Costs of a difference between what was read and what is known: an ordinary
// slip is 2; characters that look alike on a wet label are 1.
const (
	slip     = 2
	alike    = 1
	farthest = slip + alike
)

// lookAlikes are pairs that are taken for each other by eye.
const lookAlikes = "0O 0D 0Q 1I 1L 1J 1T 2Z 4A 5S 6G 8B 3B 7T 9G VY UV MN PR CG EF IL OQ KX"

// Nearest returns at most so many of the known codes that the text may have been
// meant for: those with the least difference, in the order of known. It counts
// inserted, missing, changed and exchanged characters, those that look alike
// for less, and offers none that differs by more than a slip and a look-alike.
// Use it to say what a code with a wrong check character may be; never to decide.
func Nearest(text string, known []Code, most int) []Code {
	want := letters(text)
	if want == "" || most <= 0 {
		return nil
	}
	type match struct {
		code Code
		cost int
	}
	var near []match
	for _, c := range known {
		if cost := farness(want, c); cost <= farthest {
			near = append(near, match{c, cost})
		}
	}
	slices.SortStableFunc(near, func(a, b match) int { return a.cost - b.cost })
	var out []Code
	for _, m := range near[:min(most, len(near))] {
		if m.cost == near[0].cost {
			out = append(out, m.code)
		}
	}
	return out
}

// letters keeps the capitals and digits of the text.
func letters(text string) string {
	return strings.Map(func(r rune) rune {
		if r < 128 && strings.IndexByte(alphabet, byte(r)) >= 0 {
			return r
		}
		return -1
	}, tidy(text))
}

// farness compares with the whole code and with both halves. Of what differs too
// much in length alone no more is asked: a serial by itself is near no code.
func farness(text string, c Code) int {
	whole := c.Whole().Packed()
	cost := func(known string) int {
		if longer := len(text) - len(known); max(longer, -longer)*slip > farthest {
			return farthest + 1
		}
		return aligned([]rune(text), []rune(known), slip, change)
	}
	return min(cost(whole), cost(whole+"1"), cost(whole+"2"))
}

func change(a, b rune) int {
	switch {
	case a == b:
		return 0
	case lookAlike[[2]rune{a, b}]:
		return alike
	}
	return slip
}

// lookAlike has the pairs of lookAlikes both ways round.
var lookAlike = func() map[[2]rune]bool {
	both := map[[2]rune]bool{}
	for _, pair := range strings.Fields(lookAlikes) {
		a, b := rune(pair[0]), rune(pair[1])
		both[[2]rune{a, b}], both[[2]rune{b, a}] = true, true
	}
	return both
}()
