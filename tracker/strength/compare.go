package strength

import (
	"cmp"
	"math"
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

// comparers makes one comparer a treatment, in plan order.
func comparers(study *tracker.Study, all []Group, drift []tracker.IntervalDrift) (out []comparer) {
	for _, t := range study.Treatments {
		within := among(study, drift, t.Key)
		c := comparer{study: study, treatment: t, within: within, fair: unequal(within), all: all, groups: toCompare(study, all, t.Key), stray: strays(drift)}
		c.made = c.pairs()
		out = append(out, c)
	}
	return out
}

// toCompare takes the largest group of every adhesive with survivors, or of which all
// fell apart. Solid wood is a yardstick, not one of those compared.
func toCompare(study *tracker.Study, all []Group, treatment string) (out []Group) {
	for _, a := range study.Adhesives {
		if a.SolidWood {
			continue
		}
		own := filter(of(all, a.Key, treatment), func(g Group) bool { return len(g.Survivors()) > 0 || g.AllApart() })
		if len(own) > 0 {
			out = append(out, *largest(own))
		}
	}
	return out
}

// withSurvivors are the groups that can be compared at all.
func withSurvivors(of []Group) []Group {
	return filter(of, func(g Group) bool { return len(g.Survivors()) > 0 })
}

// A comparer works on the groups of one treatment.
type comparer struct {
	study     *tracker.Study
	treatment tracker.Treatment
	within    []tracker.IntervalDrift
	fair      fairness
	all       []Group // of every treatment
	groups    []Group // those compared
	stray     straying
	made      []Comparison
}

func (c comparer) pairs() (out []Comparison) {
	estimates, others, contenders := c.estimates(), c.others(), c.contenders()
	verdicts := c.verdicts(contenders)
	for i := range c.groups {
		for j := i + 1; j < len(c.groups); j++ {
			p := Comparison{Treatment: c.groups[i].Treatment, A: c.groups[i].Adhesive, B: c.groups[j].Adhesive,
				Others: others[[2]int{i, j}]}
			if e, ok := estimates[[2]int{i, j}]; ok {
				p.take(e)
			}
			if len(verdicts) > 0 {
				p.Fell = [2]stat.Share{contenders[i].Share(), contenders[j].Share()}
				p.judge(verdicts[0], c.groups[i], c.groups[j])
				verdicts = verdicts[1:]
			}
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

// estimates are those of groups with survivors, by the places of the two; empty when
// the data are too few for any, or hold a zero.
func (c comparer) estimates() map[[2]int]stat.Pair {
	var places []int
	var logs [][]float64
	for i, g := range c.groups {
		survivors := shears(g.Survivors())
		if len(survivors) == 0 {
			continue
		}
		own := logarithms(survivors)
		if own == nil {
			return nil
		}
		places, logs = append(places, i), append(logs, own)
	}
	pairs, _ := stat.TukeyKramer(logs, level)
	out := map[[2]int]stat.Pair{}
	for _, p := range pairs {
		out[[2]int{places[p.A], places[p.B]}] = p
	}
	return out
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
func (c comparer) reasons(p Comparison, a, b Group) []Reason {
	why := slices.Concat(c.own(a, p.wins(1), p.byZeros()), c.own(b, p.wins(-1), p.byZeros()))
	if a.Rig != b.Rig && !a.AllApart() && !b.AllApart() { // what fell apart met no rig
		why = append(why, Reason{Kind: OtherRigs, Who: Party{Adhesive: a.Adhesive}, Where: a.Rig, Than: Party{Adhesive: b.Adhesive}, ThanWhere: b.Rig})
	}
	if a.State != b.State {
		why = append(why, Reason{Kind: OtherStates, Who: Party{Adhesive: a.Adhesive}, Where: a.State, Than: Party{Adhesive: b.Adhesive}, ThanWhere: b.State})
	}
	if len(why) == 0 {
		why = apart(c.within, a, b, func(longer Group) bool { return c.wonLonger(p, longer) })
	}
	if both := len(withSurvivors([]Group{a, b})) == 2; both && p.Ratio == nil && !p.byZeros() {
		why = append(why, c.noEstimate())
	}
	return why
}

// noEstimate says why two with survivors could not be set side by side; of one without
// any own has said so.
func (c comparer) noEstimate() Reason {
	if c.noScatter() {
		return Reason{Kind: NoScatter}
	}
	return Reason{Kind: TooFew}
}

// noScatter reports whether nothing could be worked out although enough survived:
// all readings of a group are one.
func (c comparer) noScatter() bool {
	held, several := 0, false
	for _, g := range c.groups {
		if n := len(shears(g.Survivors())); n > 0 {
			held, several = held+1, several || n > 1
		}
	}
	known := slices.ContainsFunc(c.made, func(p Comparison) bool { return p.Ratio != nil })
	return held > 1 && several && !known
}

// own gives the reasons that lie with one adhesive. A group that soaked longer
// and is still told apart above the other has won, unless its adhesive goes on
// curing in water. Of what is told apart by what fell apart there may be too few
// survivors.
func (c comparer) own(g Group, wins, byZeros bool) (why []Reason) {
	for _, u := range c.fair(g.Adhesive) {
		if !c.excused(u, g, wins) {
			why = append(why, u.Reason)
		}
	}
	if len(shears(g.Survivors())) < 2 && !byZeros {
		why = append(why, few(g.Survivors(), g.party()))
	}
	return why
}

// apartByZeros reports whether an adhesive is told apart from any by what fell apart.
func (c comparer) apartByZeros(key string) bool {
	return slices.ContainsFunc(c.made, func(p Comparison) bool { return p.byZeros() && (p.A == key || p.B == key) })
}

func (c comparer) excused(u unfair, g Group, wins bool) bool {
	return wins && u.longerSoak > 0 && !c.curesInWater(g.Adhesive)
}

// exceptions says why a pair may be compared although one of it was not
// treated like the rest.
func (c comparer) exceptions(p Comparison, a, b Group) (out []Reason) {
	winner := a
	if p.wins(-1) {
		winner = b
	}
	for _, u := range c.fair(winner.Adhesive) {
		if c.excused(u, winner, p.Sure) {
			out = append(out, Reason{Kind: SoakedLonger, Who: Party{Adhesive: winner.Adhesive}, Length: u.longerSoak})
		}
	}
	return out
}

func (c comparer) curesInWater(key string) bool {
	a := c.study.Adhesive(key)
	return a != nil && a.CuresInWater
}

// letters gives the adhesives that were treated alike their letters, the
// strongest first. Adhesives that share a letter are not told apart.
func (c comparer) letters() LettersByKey {
	keys := c.ranked()
	if len(keys) < 2 {
		return nil
	}
	return display(keys, c.surelyApart)
}

// ranked are the adhesives that were treated alike, the strongest first by the
// mean in which what fell apart is 0; none where nothing could be worked out.
func (c comparer) ranked() (keys []string) {
	unknown := func(p Comparison) bool {
		return p.Ratio == nil && !c.group(p.A).AllApart() && !c.group(p.B).AllApart()
	}
	if slices.ContainsFunc(c.made, unknown) {
		return nil
	}
	fair := c.alike()
	slices.SortStableFunc(fair, func(a, b Group) int { return cmp.Compare(*b.Mean, *a.Mean) })
	for _, g := range fair {
		keys = append(keys, g.Adhesive)
	}
	return keys
}

// surelyApart reports whether two adhesives are told apart, and would be even
// if bounds were known better.
func (c comparer) surelyApart(a, b string) bool { return c.pair(a, b).Sure }

// pair is the comparison of two adhesives, in whatever order it was made.
func (c comparer) pair(a, b string) Comparison {
	return c.made[slices.IndexFunc(c.made, func(p Comparison) bool { return p.A == a && p.B == b || p.A == b && p.B == a })]
}

// alike are the adhesives with no reason of their own, of the rig and state in
// which most of them were broken, each comparable with each; what fell apart met no rig
// and stands beside those of any.
func (c comparer) alike() []Group {
	type condition struct{ rig, state Text }
	sets := map[condition][]Group{}
	var largest []Group
	own := filter(c.groups, func(g Group) bool { return len(c.own(g, false, c.apartByZeros(g.Adhesive))) == 0 })
	for _, g := range own {
		at := condition{g.Rig, g.State}
		if sets[at] = append(sets[at], g); len(sets[at]) > len(largest) && !g.AllApart() {
			largest = sets[at]
		}
	}
	if len(largest) == 0 {
		return nil
	}
	at := condition{largest[0].Rig, largest[0].State}
	return c.mutual(filter(own, func(g Group) bool { return condition{g.Rig, g.State} == at || g.AllApart() && g.State == at.state }))
}

// mutual takes out the one that is comparable with the fewest, the last of
// equals, until each is comparable with each.
func (c comparer) mutual(set []Group) []Group {
	for {
		worst, most := -1, 0
		for i, g := range set {
			if n := c.strangers(g, set); n > 0 && n >= most {
				worst, most = i, n
			}
		}
		if worst < 0 {
			return set
		}
		set = slices.Delete(slices.Clone(set), worst, worst+1)
	}
}

// strangers counts those of a set with which g cannot be compared, for want of
// like treatment.
func (c comparer) strangers(g Group, set []Group) (n int) {
	for _, other := range set {
		if other.Adhesive != g.Adhesive && len(c.unlike(g, other)) > 0 {
			n++
		}
	}
	return n
}

// unlike says how far two groups went apart.
func (c comparer) unlike(a, b Group) []Reason {
	p := c.pair(a.Adhesive, b.Adhesive)
	return apart(c.within, a, b, func(longer Group) bool { return c.wonLonger(p, longer) })
}

// wonLonger reports whether the one of a pair that soaked longer won all the
// same, and does not go on curing in water.
func (c comparer) wonLonger(p Comparison, longer Group) bool {
	won := longer.Adhesive == p.A && p.wins(1) || longer.Adhesive == p.B && p.wins(-1)
	return won && !c.curesInWater(longer.Adhesive)
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
