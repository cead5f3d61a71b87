package strength

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

const compareMethod = "survivors on the log scale, Tukey-Kramer, 95 %"

// comparers makes one comparer a treatment, in plan order.
func comparers(study *tracker.Study, all []Group, drift []tracker.IntervalDrift) (out []comparer) {
	for _, t := range study.Treatments {
		c := comparer{study: study, treatment: t, fair: unequal(drift), all: all, groups: toCompare(study, all, t.Key), stray: strays(drift)}
		c.made = c.pairs()
		out = append(out, c)
	}
	return out
}

// toCompare takes the largest group with survivors of every adhesive.
func toCompare(study *tracker.Study, all []Group, treatment string) (out []Group) {
	for _, a := range study.Adhesives {
		own := slices.DeleteFunc(of(all, a.Key, treatment), func(g Group) bool { return len(g.survivors()) == 0 })
		if len(own) > 0 {
			out = append(out, *largest(own))
		}
	}
	return out
}

// A comparer works on the groups of one treatment.
type comparer struct {
	study     *tracker.Study
	treatment tracker.Treatment
	fair      fairness
	all       []Group // of every treatment
	groups    []Group // those compared
	stray     straying
	made      []Comparison
}

func (c comparer) pairs() (out []Comparison) {
	estimates, others, k := c.estimates(), c.others(), 0
	for i := range c.groups {
		for j := i + 1; j < len(c.groups); j++ {
			p := Comparison{Treatment: c.groups[i].Treatment, A: c.groups[i].Adhesive, B: c.groups[j].Adhesive,
				Method: compareMethod, Others: others[[2]int{i, j}], Reasons: []string{}}
			if k < len(estimates) {
				p.take(estimates[k])
			}
			k++
			p.Reasons = c.reasons(p, c.groups[i], c.groups[j])
			p.Comparable = len(p.Reasons) == 0
			if p.Comparable {
				p.Reasons = c.exceptions(p, c.groups[i], c.groups[j])
			}
			p.Reasons = append(p.Reasons, passedOver(c.all, c.groups[i], c.groups[j])...)
			out = append(out, p)
		}
	}
	return out
}

// estimates is empty when the data are too few for any, or hold a zero.
func (c comparer) estimates() []stat.Pair {
	logs := make([][]float64, len(c.groups))
	for i, g := range c.groups {
		logs[i] = logarithms(shears(g.survivors()))
		if len(logs[i]) == 0 {
			return nil
		}
	}
	pairs, err := stat.TukeyKramer(logs, level)
	if err != nil {
		return nil
	}
	return pairs
}

// logarithms is empty when a value has none.
func logarithms(xs []float64) (logs []float64) {
	for _, x := range xs {
		if x <= 0 {
			return nil
		}
		logs = append(logs, math.Log(x))
	}
	return logs
}

// take carries a difference of logarithms back to a ratio.
func (p *Comparison) take(e stat.Pair) {
	p.Ratio = number(math.Exp(e.Estimate.Value))
	p.Low, p.High = number(math.Exp(e.Estimate.Limits.Low)), number(math.Exp(e.Estimate.Limits.High))
	p.PAdjusted, p.ToldApart = &e.PAdjusted, e.PAdjusted < 1-level
}

// reasons says why a and b should not be compared.
func (c comparer) reasons(p Comparison, a, b Group) []string {
	why := slices.Concat(c.own(a, p.wins(1)), c.own(b, p.wins(-1)))
	if a.Rig != b.Rig {
		why = append(why, fmt.Sprintf("broken on different rigs: %s on %s, %s on %s", a.Adhesive, a.Rig, b.Adhesive, b.Rig))
	}
	if a.State != b.State {
		why = append(why, fmt.Sprintf("broken in different states: %s %s, %s %s", a.Adhesive, a.State, b.Adhesive, b.State))
	}
	if p.Ratio == nil {
		why = append(why, "too few survivors for any interval")
	}
	return append([]string{}, why...)
}

// wins reports whether the first (1) or the second (-1) is told apart above
// the other.
func (p Comparison) wins(side float64) bool {
	return p.ToldApart && p.Ratio != nil && side*math.Log(*p.Ratio) > 0
}

// own gives the reasons that lie with one adhesive. A group that soaked longer
// and is still told apart above the other has won, unless its adhesive goes on
// curing in water.
func (c comparer) own(g Group, wins bool) (why []string) {
	for _, u := range c.fair(g.Adhesive, g.Treatment) {
		if !c.excused(u, g, wins) {
			why = append(why, u.text)
		}
	}
	if len(shears(g.survivors())) < 2 {
		why = append(why, few(g.survivors(), g.Adhesive+" "+g.Treatment))
	}
	return why
}

func (c comparer) excused(u unfair, g Group, wins bool) bool {
	return wins && u.longerSoak > 0 && !c.curesInWater(g.Adhesive)
}

// exceptions says why a pair may be compared although one of it was not
// treated like the rest.
func (c comparer) exceptions(p Comparison, a, b Group) []string {
	winner := a
	if p.wins(-1) {
		winner = b
	}
	out := []string{}
	for _, u := range c.fair(winner.Adhesive, winner.Treatment) {
		if c.excused(u, winner, p.ToldApart) {
			out = append(out, fmt.Sprintf("%s soaked longer (%s) and still won: the comparison stands", winner.Adhesive, signed(u.longerSoak)))
		}
	}
	return out
}

func (c comparer) curesInWater(key string) bool {
	return slices.ContainsFunc(c.study.Adhesives, func(a tracker.Adhesive) bool { return a.Key == key && a.CuresInWater })
}

// letters gives the adhesives that were treated alike their letters, the
// strongest first. Adhesives that share a letter are not told apart.
func (c comparer) letters() LettersByKey {
	keys := c.ranked()
	if len(keys) < 2 || slices.ContainsFunc(c.made, func(p Comparison) bool { return p.Ratio == nil }) {
		return nil
	}
	return display(keys, c.surelyApart)
}

// ranked are the adhesives that were treated alike, the strongest first.
func (c comparer) ranked() (keys []string) {
	fair := c.alike()
	slices.SortStableFunc(fair, func(a, b Group) int { return cmp.Compare(logMean(b), logMean(a)) })
	for _, g := range fair {
		keys = append(keys, g.Adhesive)
	}
	return keys
}

// surelyApart reports whether two adhesives are told apart, and would be even
// if wood-limited bonds were stronger than their readings.
func (c comparer) surelyApart(a, b string) bool {
	p := c.pair(a, b)
	return p.ToldApart && !c.loserIsBound(p)
}

// pair is the comparison of two adhesives, in whatever order it was made.
func (c comparer) pair(a, b string) Comparison {
	return c.made[slices.IndexFunc(c.made, func(p Comparison) bool { return p.A == a && p.B == b || p.A == b && p.B == a })]
}

// loserIsBound reports whether the weaker of the two holds wood-limited
// readings: its bond may be the stronger one after all, so letters do not set
// it below the other.
func (c comparer) loserIsBound(p Comparison) bool {
	loser := p.A
	if p.wins(1) {
		loser = p.B
	}
	return slices.ContainsFunc(c.groups, func(g Group) bool { return g.Adhesive == loser && g.limitedSurvivor() })
}

// alike are the adhesives with no reason of their own, on the rig and in the
// state of the first of them.
func (c comparer) alike() (out []Group) {
	for _, g := range c.groups {
		if !solidWood(c.study, g.Adhesive) && len(c.own(g, false)) == 0 && (len(out) == 0 || g.Rig == out[0].Rig && g.State == out[0].State) {
			out = append(out, g)
		}
	}
	return out
}

func logMean(g Group) float64 {
	x, err := geometric(shears(g.survivors()))
	if err != nil {
		return 0
	}
	return x
}

// geometric is the geometric mean of values above zero.
func geometric(xs []float64) (float64, error) {
	ones := make([]float64, len(xs))
	for i := range ones {
		ones[i] = 1
	}
	e, err := stat.PairedLogRatio(xs, ones, level)
	return e.Value, err
}

// display makes the letters by inserting every difference and absorbing
// columns that another holds.
//
// Source: Piepho (2004), J. Computational and Graphical Statistics 13, 456-466.
func display(keys []string, apart func(a, b string) bool) LettersByKey {
	out := LettersByKey{}
	for i, column := range together(keys, apart) {
		for _, key := range column {
			out[key] += letter(i)
		}
	}
	return out
}

// together lists the largest sets of keys no two of which are told apart, in
// the order of keys.
func together(keys []string, apart func(a, b string) bool) [][]string {
	columns := [][]string{slices.Clone(keys)}
	for i, a := range keys {
		for _, b := range keys[i+1:] {
			if apart(a, b) {
				columns = absorb(split(columns, a, b))
			}
		}
	}
	slices.SortFunc(columns, func(x, y []string) int {
		return slices.Compare(places(keys, x), places(keys, y))
	})
	return columns
}

// letter is a, b, ... z, then a', b', so that no two columns share one.
func letter(i int) string {
	s := string(rune('a' + i%26))
	for range i / 26 {
		s += "'"
	}
	return s
}

func places(keys, column []string) (at []int) {
	for _, key := range column {
		at = append(at, slices.Index(keys, key))
	}
	return at
}

// split replaces every column that holds both a and b by two, each without
// one of them.
func split(columns [][]string, a, b string) (out [][]string) {
	for _, c := range columns {
		if slices.Contains(c, a) && slices.Contains(c, b) {
			out = append(out, without(c, b), without(c, a))
			continue
		}
		out = append(out, c)
	}
	return out
}

func without(column []string, key string) []string {
	return slices.DeleteFunc(slices.Clone(column), func(k string) bool { return k == key })
}

// absorb drops columns all of whose keys stand in another.
func absorb(columns [][]string) (out [][]string) {
	for i, c := range columns {
		held := false
		for j, d := range columns {
			inside := !slices.ContainsFunc(c, func(k string) bool { return !slices.Contains(d, k) })
			held = held || i != j && inside && (len(c) < len(d) || j < i)
		}
		if !held {
			out = append(out, c)
		}
	}
	return out
}
