package wording

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// A Heading is what is said of pairs of adhesives, so that one bath left too
// long is one line and not five.
type Heading struct {
	Says  string
	Pairs []string
}

// Pairs are all pairs under what is said of them, in the order in which it is
// first said.
type Pairs struct {
	Apart, Together, Refused []Heading
}

// PairsOf says which adhesives stand apart, which cannot be told apart, and why
// others may not be compared.
func PairsOf(all []strength.Comparison) (p Pairs) {
	for _, c := range all {
		pair := c.A + " and " + c.B
		switch {
		case !c.Comparable:
			for _, why := range c.Reasons {
				p.Refused = under(p.Refused, c.Treatment+": "+Reason(why), pair)
			}
		case c.Doubt.Kind != strength.NoDoubt:
			p.Together = under(p.Together, fmt.Sprintf("%s: the readings differ, but %s", c.Treatment, Unsure(c.Doubt)), pair)
		case c.Sure:
			p.Apart = under(p.Apart, c.Treatment, apart(c, pair))
		default:
			p.Together = under(p.Together, strings.Join(append([]string{c.Treatment}, noted(c)...), ": "), pair)
		}
	}
	for _, h := range p.Apart {
		for i := range len(h.Pairs) - 1 {
			h.Pairs[i] += ";"
		}
	}
	for i := range p.Together {
		p.Together[i] = theRest(p.Together[i], all)
	}
	return p
}

// mostListed is how many pairs of which nothing more is said are listed one by one.
const mostListed = 6

// theRest counts the many pairs of a treatment that are not told apart and of which
// nothing more is said: every other pair of it stands elsewhere.
func theRest(h Heading, all []strength.Comparison) Heading {
	of := 0
	for _, c := range all {
		if c.Treatment == h.Says {
			of++
		}
	}
	switch n := len(h.Pairs); {
	case of == 0 || n <= mostListed:
		return h
	case n == of:
		return Heading{Says: fmt.Sprintf("%s: all %d pairs", h.Says, n)}
	default:
		return Heading{Says: fmt.Sprintf("%s: the other %d of %d pairs", h.Says, n, of)}
	}
}

// apart is a pair with what tells it apart, in which ways it is not, and why it
// stands all the same.
func apart(c strength.Comparison, pair string) string {
	line := pair
	if c.Ground != stat.ByZeros {
		line += ", ratio " + ratioOf(c)
	}
	if c.Ground == stat.ByZeros || c.Ground == stat.ByBoth {
		line += fmt.Sprintf(", fell apart %d of %d and %d of %d", c.Fell[0].Of, c.Fell[0].N, c.Fell[1].Of, c.Fell[1].N)
	}
	lines := []string{line}
	if hangs := undoneIn(c); hangs != "" {
		lines = append(lines, hangs)
	}
	return strings.Join(append(lines, reasons(c)...), ", ")
}

// undoneIn names the other ways in which a pair is not told apart; empty without any.
func undoneIn(c strength.Comparison) string {
	var ways []string
	for _, w := range c.HangsOn() {
		ways = append(ways, "not "+wayIn(w))
	}
	return strings.Join(ways, ", ")
}

// ratioOf is the ratio of a pair with the limits by which it is told apart. Where two
// decimals would round a limit to 1, which is no difference, it has as many as show
// which side it is on.
func ratioOf(c strength.Comparison) string {
	decimals := 2
	number := func(x *float64) string { return Decimals(x, decimals) }
	for ; decimals < 6 && hidesSide(c, number); decimals++ {
	}
	return fmt.Sprintf("%s (%s)", number(c.Ratio), interval(c.SureLow, c.SureHigh, number))
}

// hidesSide reports whether a limit as written is 1, and is not.
func hidesSide(c strength.Comparison, number func(*float64) string) bool {
	one := 1.0
	for _, x := range []*float64{c.SureLow, c.SureHigh} {
		if x != nil && *x != one && number(x) == number(&one) {
			return true
		}
	}
	return false
}

// noted is what is left out of a comparison that stands, in one text; none where
// nothing is.
func noted(c strength.Comparison) []string {
	if len(c.Reasons) == 0 {
		return nil
	}
	return []string{strings.Join(reasons(c), "; ")}
}

func reasons(c strength.Comparison) (texts []string) {
	for _, r := range c.Reasons {
		texts = append(texts, Reason(r))
	}
	return texts
}

// under adds a pair under what is said of it.
func under(all []Heading, says, pair string) []Heading {
	i := slices.IndexFunc(all, func(h Heading) bool { return h.Says == says })
	if i < 0 {
		return append(all, Heading{says, []string{pair}})
	}
	all[i].Pairs = append(all[i].Pairs, pair)
	return all
}
