package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// estimateOf is the number of a group that figures draw: the one that people are
// given everywhere. One specimen has none but itself.
func estimateOf(g strength.Group) strength.Estimate {
	if g.N-g.LeftOut < 2 {
		return strength.Estimate{}
	}
	return g.Estimate()
}

// shown writes a group's estimate; "≥" stands where it is a bound only.
func (u units) shown(g strength.Group) string {
	e := estimateOf(g)
	if e.Value == nil {
		return ""
	}
	return sign(e.Bound) + u.stress(e.Value).Shown
}

// limits are those of a group's estimate.
func (u units) limits(g strength.Group) limits {
	e := estimateOf(g)
	return limitsOf(e.Low, e.High, u.stress).towards(e.Bound)
}

// fellApartWords says so, with how many they were.
func fellApartWords(g strength.Group) string {
	if g.N == 1 {
		return "fell apart"
	}
	return fmt.Sprintf("all %d fell apart", g.FellApart)
}

// countWords is n: of how many the estimate rests on fewer, and from how many
// bonded blocks they come where these are fewer still.
func countWords(g strength.Group) string {
	text, survived := strconv.Itoa(g.N), len(g.Survivors())
	if survived > 0 && survived < g.N {
		text = fmt.Sprintf("%d of %d", survived, g.N)
	}
	if g.Blocks > 0 && g.Blocks < survived {
		text += " from " + wording.Plural(g.Blocks, "block")
	}
	return text
}

// A row is one adhesive in the figures.
type row struct {
	Key, Name string
	Groups    []int             // into the results
	Why       []strength.Reason // not comparable with the others of the leading treatment
	weight    float64           // it is ordered by
}

// An order is the adhesives as the figures show them.
type order struct {
	Rows      []row
	Sorted    bool
	Treatment string // whose means decided
}

// orderOf puts the adhesives in order of their means under the leading
// treatment, those that cannot be compared last. With one specimen of each, or
// with only one adhesive, the plan's order stays: there is nothing to rank.
func (s *source) orderOf() order {
	o := order{Treatment: s.leading()}
	o.Rows = s.inPlanOrder(o.Treatment)
	if o.Sorted = len(o.Rows) > 1 && !s.onlySingles(o.Treatment); !o.Sorted {
		return o
	}
	for i := range o.Rows {
		o.Rows[i].Why = s.whyApart(o.Rows[i].Key, o.Treatment)
	}
	slices.SortStableFunc(o.Rows, func(a, b row) int {
		return cmp.Or(rank(a.Why == nil)-rank(b.Why == nil), cmp.Compare(b.weight, a.weight))
	})
	return o
}

// inPlanOrder are the adhesives of which anything was broken.
func (s *source) inPlanOrder(treatment string) (rows []row) {
	for _, a := range s.study.Adhesives {
		r := row{Key: a.Key, Name: a.Name, weight: s.weight(a.Key, treatment)}
		for i, g := range s.results.Groups {
			if g.Adhesive == a.Key {
				r.Groups = append(r.Groups, i)
			}
		}
		if len(r.Groups) > 0 && !a.SolidWood {
			rows = append(rows, r)
		}
	}
	return rows
}

// leading is the treatment that the study is about: the first soaked one with
// results, else the first with any.
func (s *source) leading() string {
	has := func(key string) bool {
		return slices.ContainsFunc(s.results.Groups, func(g strength.Group) bool { return g.Treatment == key })
	}
	first := ""
	for _, t := range s.study.Treatments {
		switch {
		case !has(t.Key):
		case t.Soaked:
			return t.Key
		case first == "":
			first = t.Key
		}
	}
	return first
}

// largest is the group of most specimens of an adhesive and treatment; nil
// when there is none.
func (s *source) largest(adhesive, treatment string) *strength.Group {
	var best *strength.Group
	for i, g := range s.results.Groups {
		if g.Adhesive == adhesive && g.Treatment == treatment && (best == nil || g.N > best.N) {
			best = &s.results.Groups[i]
		}
	}
	return best
}

// weight is what an adhesive is ordered by: its mean in which what fell apart is
// 0, as findings and letters go by it; -1 without a number.
func (s *source) weight(adhesive, treatment string) float64 {
	if g := s.largest(adhesive, treatment); g != nil && g.Mean != nil {
		return *g.Mean
	}
	return -1
}

// onlySingles reports whether fewer than two adhesives have more than one specimen,
// so that nothing can be ranked.
func (s *source) onlySingles(treatment string) bool {
	several, single := 0, 0
	for _, a := range s.study.Adhesives {
		n := 0
		for _, g := range s.results.Groups {
			if g.Adhesive == a.Key && g.Treatment == treatment && !a.SolidWood {
				n += g.N
			}
		}
		switch {
		case n == 1:
			single++
		case n > 1:
			several++
		}
	}
	return single > 0 && several < 2
}

// whyApart gives the reasons that an adhesive has in all of its comparisons,
// when none of them stands; nil when one does.
func (s *source) whyApart(key, treatment string) []strength.Reason {
	var common []strength.Reason
	met := false
	for _, c := range s.results.Comparisons {
		if c.Treatment != treatment || c.A != key && c.B != key {
			continue
		}
		if c.Comparable {
			return nil
		}
		if !met {
			common, met = slices.Clone(c.Reasons), true
			continue
		}
		common = slices.DeleteFunc(common, func(why strength.Reason) bool { return !slices.Contains(c.Reasons, why) })
	}
	if met && len(common) == 0 {
		common = []strength.Reason{{Kind: strength.NoneStands}}
	}
	return common
}

// condition is a group's treatment, with what sets it apart from others.
func (s *source) condition(g strength.Group) string { return g.Treatment + s.apart(g) }

// apart is a group's rig where the study has more than one, and its state where
// its adhesive has more than one group under its treatment; with a comma before
// each.
func (s *source) apart(g strength.Group) (text string) {
	rigs, states := false, false
	for _, o := range s.results.Groups {
		rigs = rigs || o.Rig != g.Rig && o.Rig != "" && g.Rig != ""
		states = states || o.Adhesive == g.Adhesive && o.Treatment == g.Treatment && o.State != g.State
	}
	if rigs {
		text += ", " + string(g.Rig)
	}
	if states {
		text += ", " + string(g.State)
	}
	return text
}

// lost names what was left out of a group, and why: "2 left out: 1 lost, 1 damaged".
func lost(members []strength.Specimen) string {
	var parts []string
	all := 0
	for _, how := range []strength.Outcome{strength.Lost, strength.Damaged, strength.Withdrawn} {
		n := 0
		for _, sp := range members {
			if sp.Outcome == how {
				n++
			}
		}
		if n > 0 {
			parts, all = append(parts, fmt.Sprintf("%d %s", n, how)), all+n
		}
	}
	if all == 0 {
		return ""
	}
	return strings.Join(parts, ", ")
}
