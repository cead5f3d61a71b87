package strength

import (
	"math"
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

// findings says what the results come to, the weightiest first: treatments
// before their control, what held best before what cannot be told.
func findings(study *tracker.Study, r Report, all []comparer, drift []tracker.IntervalDrift) []Finding {
	out := []Finding{}
	if len(r.Groups) == 0 {
		return out
	}
	out = append(out, unfinished(r.Specimens)...)
	if alone(r.Specimens) {
		out = append(out, boxFindings(study, r)...)
		return append(out, commonFindings(drift)...)
	}
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b comparer) int { return a.place() - b.place() })
	for _, c := range all {
		out = append(out, c.findings()...)
	}
	out = append(out, commonFindings(drift)...)
	return append(out, provisional(r.Specimens)...)
}

// unfinished says that there is more to come.
func unfinished(all []Specimen) []Finding {
	if n := len(filter(all, func(s Specimen) bool { return s.Outcome == NoneYet })); n > 0 {
		return []Finding{{Kind: Unfinished, N: n, Of: len(all)}}
	}
	return nil
}

// provisional says that fracture faces are still to be read.
func provisional(all []Specimen) []Finding {
	survivors := filter(all, func(s Specimen) bool { return s.Survived() })
	n := len(filter(survivors, func(s Specimen) bool { return s.Provisional }))
	if n == 0 {
		return nil
	}
	return []Finding{{Kind: FacesToCome, N: n, Of: len(survivors), Halved: len(filter(survivors, Specimen.HalfRead))}}
}

// alone reports whether there is one specimen of each kind, and no more to come.
func alone(all []Specimen) bool {
	seen := map[[2]string]bool{}
	for _, s := range all {
		key := [2]string{s.Adhesive, s.Treatment}
		if seen[key] {
			return false
		}
		seen[key] = true
	}
	return true
}

// place puts controls last.
func (c comparer) place() int {
	if c.treatment.Control {
		return 1
	}
	return 0
}

// boxFindings says of studies of one specimen each which box each fell into.
func boxFindings(study *tracker.Study, r Report) []Finding {
	out := []Finding{{Kind: OneOfEach}}
	for _, t := range study.Treatments {
		f := Finding{Kind: InBoxes, Treatment: t.Key}
		for _, box := range Boxes {
			b := Boxed{Box: box}
			for _, s := range r.Specimens {
				if s.Treatment == t.Key && s.Outcome != NoneYet && BoxOf(s) == box && !solidWood(study, s.Adhesive) {
					b.Who = append(b.Who, s.Adhesive)
				}
			}
			if len(b.Who) > 0 {
				f.Boxes = append(f.Boxes, b)
			}
		}
		if len(f.Boxes) > 0 {
			out = append(out, f)
		}
	}
	return out
}

// findings says what one treatment came to.
func (c comparer) findings() (out []Finding) {
	for _, some := range [][]Finding{c.best(), c.doubts(), c.fellMore(), c.divided(), c.undecided(), c.below(), c.standing(), c.strange(), c.elsewhere(), c.unbroken(), c.straggled(), c.gone()} {
		for _, f := range some {
			f.Treatment = c.treatment.Key
			out = append(out, f)
		}
	}
	return out
}

// best says which adhesive held best, and whom it is told apart from.
func (c comparer) best() []Finding {
	keys := c.ranked()
	if len(keys) < 2 {
		return nil
	}
	f := Finding{Kind: HeldBest, Group: c.group(keys[0])}
	for _, k := range keys[1:] {
		if c.surelyApart(keys[0], k) {
			f.Than = append(f.Than, k)
		} else {
			f.Ties = append(f.Ties, k)
		}
	}
	if len(f.Than) == 0 {
		return nil
	}
	if len(f.Ties) > 0 {
		f.Kind = ReadHighest
	}
	f.Beside = c.beside(f.Group, f.Ties)
	f.Alike, f.ByZeros = c.among(f.Beside), byZeros(f.Beside)
	return []Finding{f}
}

// doubts names the other ways of reckoning in which the best is not told apart
// from all whom it beat.
func (c comparer) doubts() []Finding {
	keys := c.ranked()
	if len(keys) < 2 {
		return nil
	}
	first := keys[0]
	var ways []WayTold
	for _, k := range keys[1:] {
		for _, way := range c.pair(first, k).HangsOn() {
			ways = tell(ways, way, k)
		}
	}
	if len(ways) == 0 {
		return nil
	}
	return []Finding{{Kind: HangsOnWay, Group: c.group(first), Ways: ways}}
}

// tell adds one more whom a way does not tell apart.
func tell(ways []WayTold, way Way, than string) []WayTold {
	i := slices.IndexFunc(ways, func(w WayTold) bool { return w.Way == way })
	if i < 0 {
		return append(ways, WayTold{way, []string{than}})
	}
	ways[i].Than = append(ways[i].Than, than)
	return ways
}

// undecided names the sets that cannot be told apart, with the number of
// specimens that was not enough. One with the highest in it was said already, where
// anything is told apart from that.
func (c comparer) undecided() []Finding {
	keys := c.ranked()
	if len(keys) < 2 {
		return nil
	}
	f, led := Finding{Kind: NotToldApart}, len(c.best()) > 0
	for _, set := range together(keys, c.surelyApart) {
		if len(set) >= 2 && !(led && set[0] == keys[0]) && !c.isDivided(set) {
			f.Sets = append(f.Sets, set)
		}
	}
	if len(f.Sets) == 0 {
		return nil
	}
	meant := slices.DeleteFunc(keys, func(k string) bool { return !f.about(k) })
	f.Each, f.Blocks = c.each(meant)
	f.Hides = c.hidden(meant)
	return []Finding{f}
}

// about reports whether an adhesive is in any of the sets.
func (f Finding) about(key string) bool {
	return slices.ContainsFunc(f.Sets, func(set []string) bool { return slices.Contains(set, key) })
}

// divided names the pairs in which something differs, and why that gives no order.
// Those that are apart only if all scatter alike are said at once.
func (c comparer) divided() (out []Finding) {
	if c.noScatter() {
		return []Finding{{Kind: NothingToGoBy}}
	}
	var ifAlike []Comparison
	keys := c.ranked()
	for i, a := range keys {
		for _, b := range keys[i+1:] {
			p := c.pair(a, b)
			switch {
			case p.Doubt.Kind == NoDoubt:
			case p.Doubt.Kind == IfAlike:
				ifAlike = append(ifAlike, p)
			default:
				out = append(out, Finding{Kind: ReadingsOnly, Who: []string{a, b}, Doubt: p.Doubt})
			}
		}
	}
	if len(ifAlike) > 0 {
		out = append(out, readsMore(ifAlike))
	}
	return out
}

// readsMore says of pairs who reads more than whom, under the one or the other of
// them, whichever makes fewer; and how many each were not enough, where all have as
// many.
func readsMore(pairs []Comparison) Finding {
	f := Finding{Kind: ReadsMore, Each: pairs[0].Doubt.N}
	for _, p := range pairs {
		if p.Doubt.N != f.Each || p.Doubt.Of != f.Each {
			f.Each = 0
		}
	}
	f.Reads = gathered(pairs, func(r Reading, d Doubt) bool { return slices.Equal(r.Who, []string{d.Who}) })
	if below := gathered(pairs, func(r Reading, d Doubt) bool { return slices.Equal(r.Than, []string{d.Than}) }); len(below) < len(f.Reads) {
		f.Reads = below
	}
	return f
}

// gathered puts under one reading the pairs that belong with what one already says.
func gathered(pairs []Comparison, belongs func(Reading, Doubt) bool) (out []Reading) {
	for _, p := range pairs {
		d, times := p.Doubt, math.Exp(math.Abs(math.Log(*p.Ratio)))
		i := slices.IndexFunc(out, func(r Reading) bool { return belongs(r, d) })
		if i < 0 {
			i, out = len(out), append(out, Reading{Least: times})
		}
		r := &out[i]
		r.Who, r.Than = with(r.Who, d.Who), with(r.Than, d.Than)
		r.Least, r.Most = min(r.Least, times), max(r.Most, times)
	}
	return out
}

// with adds one to a list that does not have it.
func with(list []string, one string) []string {
	if slices.Contains(list, one) {
		return list
	}
	return append(list, one)
}

// fellMore names those of whom surely more fell apart than of others.
func (c comparer) fellMore() (out []Finding) {
	keys := c.ranked()
	for i, worse := range keys {
		f := Finding{Kind: FellMore, Group: c.group(worse), Fell: []stat.Share{c.group(worse).contender().Share()}}
		for _, better := range keys[:i] {
			if c.pair(better, worse).byZeros() {
				f.Than, f.Fell = append(f.Than, better), append(f.Fell, c.group(better).contender().Share())
			}
		}
		if len(f.Than) > 0 {
			out = append(out, f)
		}
	}
	return out
}

// each says how many bonded blocks were not enough, where all have as many, and
// whether several specimens come from one.
func (c comparer) each(set []string) (n int, blocks bool) {
	n = c.group(set[0]).Blocks
	for _, k := range set {
		g := c.group(k)
		if g.Blocks != n {
			return 0, false
		}
		blocks = blocks || g.Blocks < len(g.Survivors())
	}
	return n, blocks
}

// isDivided reports whether a set is a pair of which something else is said.
func (c comparer) isDivided(set []string) bool {
	if len(set) != 2 {
		return false
	}
	return c.pair(set[0], set[1]).Doubt.Kind != NoDoubt
}

// hidden counts where wood or a rig gave way first, which may hide a difference.
func (c comparer) hidden(set []string) (h Hidden) {
	for _, k := range set {
		g := c.group(k)
		h.N, h.Of = h.N+g.WoodLimited+g.AtLeast, h.Of+g.N
		h.Rig = h.Rig || g.AtLeast > 0
	}
	return h
}

// below names, for all but the strongest, those told apart above it, which by the
// strongest was said already.
func (c comparer) below() (out []Finding) {
	keys := c.ranked()
	for i := 2; i < len(keys); i++ {
		f := Finding{Kind: HeldLess, Group: c.group(keys[i])}
		for _, k := range keys[1:i] {
			if !c.surelyApart(k, keys[i]) {
				continue
			}
			f.Than = append(f.Than, k)
			for _, way := range c.pair(k, keys[i]).HangsOn() {
				f.Ways = tell(f.Ways, way, k)
			}
		}
		if len(f.Than) > 0 {
			out = append(out, f)
		}
	}
	return out
}

// group is the one of an adhesive among those compared.
func (c comparer) group(key string) Group {
	return c.groups[slices.IndexFunc(c.groups, func(g Group) bool { return g.Adhesive == key })]
}
