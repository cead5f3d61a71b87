package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A comparing is all pairs of one treatment.
type comparing struct {
	Treatment string
	Pairs     []pairRow  // those that may be compared, told apart first
	Refused   []sentence // who may not, by reason
	Letters   []sentence // adhesive and its letters
	Method    string
	Figure    figure
}

// A pairRow is one comparison that stands.
type pairRow struct {
	C       strength.Comparison
	Ratio   number
	Limits  limits
	P       number
	Says    string
	Notes   string
	Methods string // what other methods say
}

func (s *source) comparing() (out []comparing) {
	for k, t := range s.treatmentsLeadingFirst() {
		c := comparing{Treatment: t}
		refused := newTally()
		for _, pair := range s.results.Comparisons {
			switch {
			case pair.Treatment != t || s.alone(pair.A, t) || s.alone(pair.B, t):
			case !pair.Comparable:
				for _, why := range pair.Reasons {
					refused.add(wording.Reason(why), pair.A+" and "+pair.B)
				}
			default:
				c.Pairs, c.Method = append(c.Pairs, newPair(pair)), wording.ComparisonMethod
			}
		}
		slices.SortStableFunc(c.Pairs, func(a, b pairRow) int {
			return cmp.Or(rank(a.C.Sure)-rank(b.C.Sure), rank(a.C.ToldApart)-rank(b.C.ToldApart))
		})
		for _, why := range refused.order {
			c.Refused = append(c.Refused, sentence{why, strings.Join(refused.who[why], ", ")})
		}
		c.Letters = s.letters(t)
		c.Figure = drawPairs(c.Pairs, fmt.Sprintf("pairs-%d", k+1), t)
		if len(c.Pairs) > 0 || len(c.Refused) > 0 {
			out = append(out, c)
		}
	}
	return out
}

func rank(first bool) int {
	if first {
		return 0
	}
	return 1
}

// treatmentsLeadingFirst are the plan's, what the study is about in front.
func (s *source) treatmentsLeadingFirst() []string {
	keys := []string{s.leading()}
	for _, t := range s.study.Treatments {
		if t.Key != keys[0] {
			keys = append(keys, t.Key)
		}
	}
	return keys
}

func newPair(c strength.Comparison) pairRow {
	methods := othersOf(c)
	if c.SureLow != nil {
		c.Low, c.High = c.SureLow, c.SureHigh
	}
	c = strongerFirst(c)
	return pairRow{C: c, Ratio: three(c.Ratio), Limits: ratioLimits(c), P: pValue(c.PSure),
		Says: inWords(c), Notes: reasonsText(c.Reasons), Methods: methods}
}

// strongerFirst turns a pair whose second is the stronger: names change places,
// ratio and limits become their reciprocals, those kept exact on the page too.
// So a value of the page is the results' a/b or 1 over it, as its names stand.
func strongerFirst(c strength.Comparison) strength.Comparison {
	if exact(c.Ratio) == "" || *c.Ratio >= 1 || *c.Ratio <= 0 {
		return c
	}
	c.A, c.B = c.B, c.A
	c.Ratio, c.Low, c.High = over1(c.Ratio), over1(c.High), over1(c.Low)
	c.SureLow, c.SureHigh = over1(c.SureHigh), over1(c.SureLow)
	c.Better, c.Fell = -c.Better, [2]stat.Share{c.Fell[1], c.Fell[0]}
	return c
}

func over1(x *float64) *float64 {
	if exact(x) == "" || *x <= 0 {
		return nil
	}
	turned := 1 / *x
	return &turned
}

// pValue writes a probability to three decimals, none of them as zero.
func pValue(p *float64) number {
	n := rounded(p, 3)
	if p != nil && n.Exact != "" && *p < 0.001 {
		n.Shown = "< 0.001"
	}
	return n
}

// inWords says one pair, the stronger first. What its limits mean stands above the
// table.
func inWords(c strength.Comparison) string {
	switch {
	case c.Sure:
		return surely(c)
	case c.Doubt.Kind == strength.IfAlike:
		return "Apart only if all scatter alike"
	case c.Doubt.Kind != strength.NoDoubt:
		return "Not told apart for sure: the readings differ, but " + wording.Unsure(c.Doubt)
	}
	return "Not told apart"
}

// surely says what tells a pair apart.
func surely(c strength.Comparison) string {
	a, b, fell := c.A, c.B, c.Fell
	if c.Better < 0 {
		a, b, fell = b, a, [2]stat.Share{fell[1], fell[0]}
	}
	shares := fmt.Sprintf("Fewer of %s fell apart (%d of %d) than of %s (%d of %d)", a, fell[0].Of, fell[0].N, b, fell[1].Of, fell[1].N)
	switch c.Ground {
	case stat.ByZeros:
		return "Told apart. " + shares
	case stat.ByBoth:
		return "Told apart. " + shares + ", and those that held read more"
	}
	return "Told apart"
}

// ratioLimits are those of a pair's ratio, to as many decimals more as show on which
// side of 1, which is no difference, each of them lies; none that say nothing.
func ratioLimits(c strength.Comparison) limits {
	l := limitsOf(c.Low, c.High, three)
	for decimals := 3; decimals < 7 && l.hidesOne(); decimals++ {
		l = limitsOf(c.Low, c.High, func(x *float64) number { return rounded(x, decimals) })
	}
	return l.unlessWide(c.Low, c.High, 1)
}

// hidesOne reports whether a limit is shown as 1.
func (l limits) hidesOne() bool {
	one := func(n number) bool { return strings.TrimRight(n.Shown, "0") == "1." && n.Exact != "1" }
	return one(l.Low) || one(l.High)
}

// reasonsText joins reasons in one line.
func reasonsText(all []strength.Reason) string {
	var texts []string
	for _, r := range all {
		texts = append(texts, wording.Reason(r))
	}
	return strings.Join(texts, "; ")
}

// letters lists the adhesives of a treatment with their letters, in the order
// of the letters.
func (s *source) letters(treatment string) (out []sentence) {
	for _, a := range s.study.Adhesives {
		if l := s.results.Letters[treatment][a.Key]; l != "" {
			out = append(out, sentence{a.Key, l})
		}
	}
	slices.SortStableFunc(out, func(a, b sentence) int { return strings.Compare(a.Text, b.Text) })
	return out
}

// A tally gathers who something is said of, so that it is said once.
type tally struct {
	order []string
	who   map[string][]string
	met   map[[2]string]bool
}

func newTally() *tally { return &tally{who: map[string][]string{}, met: map[[2]string]bool{}} }

func (t *tally) add(what, who string) {
	if t.who[what] == nil {
		t.order = append(t.order, what)
	}
	if pair := [2]string{what, who}; !t.met[pair] {
		t.met[pair] = true
		t.who[what] = append(t.who[what], who)
	}
}

// A sensitive is one headline number worked out in other ways.
type sensitive struct {
	Adhesive, Treatment string
	Lines               []sensitiveLine
}

type sensitiveLine struct {
	Way  string
	N    int
	Mean number
}

// othersOf says whether the verdict on a pair is another in other ways.
func othersOf(c strength.Comparison) string {
	apart, not := partedBy(c.Others)
	switch {
	case c.Sure && len(c.HangsOn()) > 0:
		return "not so when worked out otherwise: " + waysText(c.HangsOn())
	case c.Sure && (c.Ground == stat.ByZeros || c.Ground == stat.ByBoth):
		return "" // no other way looks at the shares
	case !c.Sure && c.Doubt.Kind != strength.NoDoubt && len(not) > 0:
		return "nor at all when worked out otherwise: " + waysText(not)
	case !c.Sure && c.Doubt.Kind == strength.NoDoubt && len(apart) > 0:
		return "told apart when worked out otherwise: " + waysText(apart)
	case len(c.Others) > 0:
		return fmt.Sprintf("the same in %s", wording.Plural(len(c.Others), "other way"))
	}
	return ""
}

// partedBy are the ways that tell a pair apart, and those that do not.
func partedBy(others []strength.Another) (apart, not []strength.Way) {
	for _, o := range others {
		if o.ToldApart {
			apart = append(apart, o.Way)
		} else {
			not = append(not, o.Way)
		}
	}
	return apart, not
}

func waysText(ways []strength.Way) string {
	var texts []string
	for _, w := range ways {
		texts = append(texts, wording.Way(w))
	}
	return strings.Join(texts, "; ")
}

// sensitivity is that of the results, in the order of the figures.
func (s *source) sensitivity(o order) (out []sensitive) {
	for _, r := range o.Rows {
		for _, x := range s.results.Sensitivity {
			if x.Adhesive != r.Key || x.Lines[0].N == 0 {
				continue // nothing survived: there is no mean to be worked out otherwise
			}
			g := strength.Group{Adhesive: x.Adhesive, Treatment: x.Treatment, Rig: x.Rig, State: x.State}
			one := sensitive{Adhesive: x.Adhesive, Treatment: s.condition(g)}
			for _, l := range x.Lines {
				one.Lines = append(one.Lines, sensitiveLine{wording.Choice(l), l.N, s.units().stress(l.Mean)})
			}
			out = append(out, one)
		}
	}
	return out
}

// otherWays are the ways of reckoning beside the named one, each with what it
// means where its name does not say so.
func (s *source) otherWays() (out []sentence) {
	met := map[strength.Way]bool{}
	for _, c := range s.results.Comparisons {
		for _, o := range c.Others {
			if c.Comparable && !met[o.Way] {
				met[o.Way] = true
				out = append(out, sentence{wording.Way(o.Way), wording.WayMeans(o.Way)})
			}
		}
	}
	return out
}
