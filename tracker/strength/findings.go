package strength

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// findings says in words what the results come to, the weightiest first:
// treatments before their control, what held best before what cannot be told.
func findings(study *tracker.Study, r Report, all []comparer, drift []tracker.IntervalDrift) []string {
	out := []string{}
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
		w := wording{comparer: c, report: r}
		out = append(out, w.sentences()...)
	}
	out = append(out, commonFindings(drift)...)
	return append(out, provisional(r.Specimens)...)
}

// unfinished says that there is more to come.
func unfinished(all []Specimen) []string {
	if n := len(filter(all, func(s Specimen) bool { return s.Outcome == NoneYet })); n > 0 {
		return []string{fmt.Sprintf("%d of %d specimens are not broken yet: all this is so far", n, len(all))}
	}
	return nil
}

// provisional says that fracture faces are still to be read.
func provisional(all []Specimen) []string {
	n, of := 0, 0
	for _, s := range all {
		if s.survived() {
			of++
			if s.Provisional {
				n++
			}
		}
	}
	if n == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%d of %d are provisional: what tore is as judged at the press, the dry faces are not read yet", n, of)}
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
func boxFindings(study *tracker.Study, r Report) []string {
	out := []string{"one specimen of each adhesive and treatment: no scatter, no comparison, no order"}
	for _, t := range study.Treatments {
		var parts []string
		for _, box := range []Box{BoxFellApart, BoxBondBroke, BoxWoodBroke, BoxNoAnswer} {
			var names []string
			for _, s := range r.Specimens {
				if s.Treatment == t.Key && s.Outcome != NoneYet && BoxOf(s) == box && !solidWood(study, s.Adhesive) {
					names = append(names, nameOf(study, s.Adhesive))
				}
			}
			if len(names) > 0 {
				parts = append(parts, string(box)+": "+list(names))
			}
		}
		if len(parts) > 0 {
			out = append(out, t.Key+": "+strings.Join(parts, "; "))
		}
	}
	return out
}

// nameOf is what an adhesive is called, else its key.
func nameOf(study *tracker.Study, key string) string {
	for _, a := range study.Adhesives {
		if a.Key == key && a.Name != "" {
			return a.Name
		}
	}
	return key
}

// A wording puts what one treatment came to into sentences.
type wording struct {
	comparer
	report Report
}

func (w wording) sentences() (out []string) {
	for _, s := range [][]string{w.best(), w.doubts(), w.divided(), w.undecided(), w.below(), w.unequal(), w.strange(), w.elsewhere(), w.unbroken(), w.gone()} {
		for _, line := range s {
			out = append(out, w.treatment.Key+": "+line)
		}
	}
	return out
}

// best says which adhesive held best, whom it is told apart from, and how.
func (w wording) best() []string {
	keys := w.ranked()
	if len(keys) < 2 {
		return nil
	}
	first, ties, beaten := keys[0], []string{}, []string{}
	for _, k := range keys[1:] {
		if w.surelyApart(first, k) {
			beaten = append(beaten, w.name(k))
		} else {
			ties = append(ties, w.name(k))
		}
	}
	g := w.group(first)
	switch {
	case len(beaten) == 0:
		return nil
	case len(ties) == 0:
		return []string{fmt.Sprintf("%s%s held best, %s%s; told apart from %s", w.among(g), w.name(first), w.mean(g), torn(g), list(beaten))}
	}
	return []string{fmt.Sprintf("%s%s read highest, %s%s, but cannot be told apart from %s; told apart from %s",
		w.among(g), w.name(first), w.mean(g), torn(g), list(ties), list(beaten))}
}

// among limits "best" to those that can be meant, where another may be better:
// one that the rig could not break, or one treated otherwise that reads higher.
func (w wording) among(best Group) string {
	for _, g := range w.untold() {
		if g.highest() > *best.MeanSurvivors {
			return "of those that broke, "
		}
	}
	for _, g := range w.groups {
		if g.Adhesive != best.Adhesive && len(w.fair(g.Adhesive)) > 0 && g.MeanSurvivors != nil && *g.MeanSurvivors > *best.MeanSurvivors {
			return "of those treated alike, "
		}
	}
	return ""
}

// doubts names the other ways of reckoning in which the best is not told apart
// from all whom it beat.
func (w wording) doubts() []string {
	keys := w.ranked()
	if len(keys) < 2 {
		return nil
	}
	first := keys[0]
	var ways []string
	from := map[string][]string{}
	for _, k := range keys[1:] {
		if !w.surelyApart(first, k) {
			continue
		}
		for _, o := range w.pair(first, k).Others {
			if o.ToldApart && o.side() == w.sideOf(first, k) {
				continue
			}
			way := inPlainWords(o.Method)
			if from[way] == nil {
				ways = append(ways, way)
			}
			from[way] = append(from[way], w.name(k))
		}
	}
	if len(ways) == 0 {
		return nil
	}
	for i, way := range ways {
		ways[i] = fmt.Sprintf("not over %s %s", list(from[way]), way)
	}
	return []string{"the lead of " + w.name(first) + " hangs on how it is worked out: " + strings.Join(ways, "; ")}
}

// sideOf is 1 where a pair's ratio has the first of two on top, -1 where it is
// upside down.
func (w wording) sideOf(first, other string) float64 {
	if w.pair(first, other).A == first {
		return 1
	}
	return -1
}

// inPlainWords says a way of reckoning as a sentence needs it.
func inPlainWords(method string) string {
	switch method {
	case noStrays:
		return "without the specimens that drifted"
	case woodDropped:
		return "if wood breaks are dropped"
	case asLowerBounds:
		return "if wood and rig breaks are taken as lower bounds"
	case ownSpreads:
		return "if each adhesive is given its own scatter"
	case withZeros:
		return "on the plain scale with fell apart as 0"
	}
	return "on the plain scale"
}

// mean writes a group's mean, at least that where wood gave way first.
func (w wording) mean(g Group) string {
	sign := ""
	if g.WoodLimited > 0 {
		sign = "at least "
	}
	text := fmt.Sprintf("mean %s%s (n %s)", sign, w.stress(*g.MeanSurvivors), g.basis())
	if g.FellApart > 0 {
		text += ", with those that fell apart as 0 " + w.stress(*g.Mean)
	}
	return text
}

// basis is how many a mean rests on, where that is not all of the group.
func (g Group) basis() string {
	text := fmt.Sprint(g.N)
	if n := len(g.survivors()); n < g.N {
		text = fmt.Sprintf("%d of %d", n, g.N)
	}
	if g.Units < len(g.survivors()) {
		text += fmt.Sprintf(" from %d bonded %s", g.Units, plural(g.Units, "block", "blocks"))
	}
	return text
}

// stress writes a stress in the unit in which the plan was written.
func (w wording) stress(mpa float64) string {
	return w.study.Units.AboutStress(quantity.Megapascals(mpa))
}

// torn says that an adhesive mostly tore the wood, if that was judged on more
// than half of those that held.
func torn(g Group) string {
	var xs []float64
	survivors := g.survivors()
	for _, s := range survivors {
		if s.WoodFailure != nil {
			xs = append(xs, *s.WoodFailure)
		}
	}
	mean, _ := spread(xs)
	if mean == nil || *mean <= 50 || 2*len(xs) <= len(survivors) {
		return ""
	}
	judged := ""
	if len(xs) < len(survivors) {
		judged = fmt.Sprintf(" in the %d judged", len(xs))
	}
	return fmt.Sprintf(", and mostly tore the wood (%.0f %% wood failure%s)", *mean, judged)
}

// undecided names the sets that cannot be told apart, with the number of
// specimens that was not enough. One with the highest in it was said already,
// unless nothing is told apart from that.
func (w wording) undecided() (out []string) {
	keys := w.ranked()
	if len(keys) < 2 {
		return nil
	}
	for _, set := range together(keys, w.surelyApart) {
		all := len(set) == len(keys)
		if len(set) < 2 || set[0] == keys[0] && !all || w.isDivided(set) {
			continue
		}
		out = append(out, list(w.names(set))+" cannot be told apart"+w.each(set)+w.hidden(set))
	}
	return out
}

// divided names the pairs whose readings differ, and why that is not sure: what
// fell apart is not among them.
func (w wording) divided() (out []string) {
	if len(w.groups) > 1 && len(w.made) > 0 && w.made[0].Ratio == nil && w.noEstimate() == noScatter {
		return []string{noScatter}
	}
	keys := w.ranked()
	for i, a := range keys {
		for _, b := range keys[i+1:] {
			if p := w.pair(a, b); p.ToldApart && !p.Sure && w.group(p.winner()).FellApart > 0 {
				out = append(out, fmt.Sprintf("%s and %s: the readings of those that held differ, but %s", w.name(a), w.name(b), p.Doubt))
			}
		}
	}
	return out
}

// winner is the one with the higher readings.
func (p Comparison) winner() string {
	if *p.Ratio > 1 {
		return p.A
	}
	return p.B
}

// each says how many were not enough, where all have as many: bonded blocks
// where several specimens come from one.
func (w wording) each(set []string) string {
	first := w.group(set[0])
	n, blocks := first.Units, false
	for _, k := range set {
		g := w.group(k)
		if g.Units != n {
			return ""
		}
		blocks = blocks || g.Units < len(g.survivors())
	}
	if blocks {
		return fmt.Sprintf(" with %s bonded blocks each", inWords(n))
	}
	return fmt.Sprintf(" with %s each", inWords(n))
}

// isDivided reports whether a set is a pair of which something else is said.
func (w wording) isDivided(set []string) bool {
	if len(set) != 2 {
		return false
	}
	p := w.pair(set[0], set[1])
	return p.ToldApart && w.group(p.winner()).FellApart > 0
}

// hidden says that wood or a rig which gave way first may hide a difference.
func (w wording) hidden(set []string) string {
	n, of, who := 0, 0, "the wood"
	for _, k := range set {
		g := w.group(k)
		n, of = n+g.WoodLimited+g.AtLeast, of+g.N
		if g.AtLeast > 0 {
			who = "wood or rig"
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(": %s gave way first in %d of %d", who, n, of)
}

// below names, for all but the strongest, those told apart above it.
func (w wording) below() (out []string) {
	keys := w.ranked()
	for i := 2; i < len(keys); i++ {
		var above []string
		for _, k := range keys[1:i] {
			if w.surelyApart(k, keys[i]) {
				above = append(above, w.name(k))
			}
		}
		if len(above) > 0 {
			out = append(out, fmt.Sprintf("%s, %s, held less than %s", w.name(keys[i]), w.mean(w.group(keys[i])), list(above)))
		}
	}
	return out
}
