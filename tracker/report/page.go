package report

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A page is all that the whole report shows, in its order.
type page struct {
	Title    string
	Headline string    // the first finding
	Findings []finding // the others
	Facts    string    // when, how many, which log
	Empty    bool      // nothing was broken yet
	Running  string    // what is still whole; empty when nothing is

	Singles  []boxes // groups of one specimen; empty without any
	Mixed    bool    // other groups have more than one
	Dots     figure
	DotsNote []string
	Apart    []sentence // who is not comparable, and why
	Names    []sentence // keys and what they stand for, in full
	Unit     string     // of every stress: MPa or psi
	Groups   []groupRow
	Cut      string     // said below the table where limits would begin below 0
	Warnings []sentence // what weakens the numbers, and whose

	Retention     figure
	RetentionNote string
	RetentionCut  string // as Cut
	Retentions    []retentionRow
	Paired        bool
	Fieller       bool

	Comparisons []comparing
	Ways        []sentence // the other ways in which pairs were worked out
	Sensitivity []sensitive

	Lives     []lifeFigure
	LivesNote []string
	Amended   bool // some went by a plan that is not the first
	Drift     []driftTable

	Odd       []oddGroup
	OddOnes   []oddOne
	OddLeft   int // odd specimens that the page has no room for
	Specimens []specimenRow
	Unlisted  int // specimens that are too many to be listed one by one
	Faces     []face
	FacesLeft int // photographs that are not shown

	Can, Cannot []string
	Methods     []sentence
}

// A sentence has a beginning that stands out.
type sentence struct{ Lead, Text string }

func newPage(s *source) page {
	p := page{Title: s.study.Title, Facts: s.facts(), Running: s.running()}
	p.Headline, p.Findings = s.findings()
	p.Empty = len(s.results.Groups) == 0
	p.Lives, p.LivesNote = s.lifelines()
	p.Amended = slices.ContainsFunc(s.lives, func(l *tracker.Life) bool { return len(amendedPlan(l)) > 0 })
	p.Drift = s.driftTables()
	p.Odd, p.OddOnes, p.OddLeft = s.odd()
	p.Faces, p.FacesLeft = s.faces()
	p.Methods = s.methods()
	if p.Empty {
		return p
	}
	o := s.orderOf()
	p.Singles, p.Mixed = s.boxes()
	p.Dots = figure{s.dots(o, wideForm(), "dots-wide"), s.dots(o, narrowForm(), "dots-narrow")}
	p.DotsNote = s.dotsNote(o)
	p.Apart = apartOf(o)
	p.Names = s.names()
	p.Unit = s.units().StressUnit()
	p.Groups, p.Warnings = s.groupRows(o), s.warnings(o)
	if anyCut(p.Groups) {
		p.Cut = belowZero
	}
	s.addRetention(&p, o)
	p.Comparisons = s.comparing()
	p.Sensitivity = s.sensitivity(o)
	if p.Specimens = s.specimenRows(); p.Specimens == nil {
		p.Unlisted = len(s.results.Specimens)
	}
	p.Ways = s.otherWays()
	p.Can, p.Cannot = s.can(), s.cannot(o)
	return p
}

// facts is the line under the finding.
func (s *source) facts() string {
	parts := []string{s.madeText()}
	if at := s.asOfText(); at != "" {
		parts = []string{at, "made " + s.madeText()}
	}
	parts = append(parts, wording.Plural(len(s.results.Specimens), "specimen"))
	if s.study.Wood.Species != "" {
		parts = append(parts, s.study.Wood.Species)
	}
	if s.o.Head != "" {
		parts = append(parts, "log head "+shortHash(s.o.Head))
	}
	return strings.Join(parts, " · ")
}

func shortHash(hash string) string {
	if len(hash) > 12 {
		return hash[:12]
	}
	return hash
}

// running says how many specimens are still to be broken.
func (s *source) running() string {
	n := 0
	for _, sp := range s.results.Specimens {
		if sp.Outcome == strength.NoneYet {
			n++
		}
	}
	switch {
	case n == 0:
		return ""
	case n == len(s.results.Specimens):
		return fmt.Sprintf("None of %s has been broken yet.", wording.Plural(n, "specimen"))
	}
	return fmt.Sprintf("%d of %s are not broken yet: what follows is what is known so far.", n, wording.Plural(len(s.results.Specimens), "specimen"))
}

func apartOf(o order) (out []sentence) {
	for _, r := range o.Rows {
		if len(r.Why) > 0 {
			out = append(out, sentence{r.Key + " " + o.Treatment, reasonsText(r.Why)})
		}
	}
	return out
}

// names are the adhesives whose key does not say all, for figures may have no
// room for a name.
func (s *source) names() (out []sentence) {
	for _, a := range s.study.Adhesives {
		if a.Name != a.Key {
			out = append(out, sentence{s.kind(a.Key), a.Name})
		}
	}
	return out
}

// dotsNote is the key to the figure, and what it leaves out.
func (s *source) dotsNote(o order) []string {
	var notes []string
	switch {
	case o.Sorted:
		notes = append(notes, fmt.Sprintf("Ordered by the mean for %s, the highest first%s.", o.Treatment, s.zerosToo(o.Treatment)))
	case s.onlySingles(o.Treatment):
		notes = append(notes, "Not ordered: with one specimen of a kind nothing can be ranked. The order is that of the plan.")
	}
	notes = append(notes, s.ticksNote()...)
	if slices.ContainsFunc(s.results.Groups, func(g strength.Group) bool { return len(g.Members) > mostMarks }) {
		notes = append(notes, fmt.Sprintf("Of a group of more than %d specimens every so many are drawn, spread evenly over its strengths; the interval is that of all.", mostMarks))
	}
	return append(notes, s.yardNote()...)
}

// ticksNote says what the ticks and thin lines are.
func (s *source) ticksNote() []string {
	met := func(is func(strength.Group) bool) bool { return slices.ContainsFunc(s.results.Groups, is) }
	if !met(func(g strength.Group) bool { return estimateOf(g).Value != nil }) {
		return nil
	}
	text := "Tick and thin line: mean of survivors, as in the words above, with its 95 % interval"
	if met(func(g strength.Group) bool { return estimateOf(g).Bound == stat.AtLeast }) {
		text += "; “≥” and an arrow where wood gave way first in any of them, taken at its reading, or a rig at more than their mean"
	}
	return []string{text + "."}
}

// zerosToo says how what fell apart enters the order, where anything did.
func (s *source) zerosToo(treatment string) string {
	if slices.ContainsFunc(s.results.Groups, func(g strength.Group) bool { return g.Treatment == treatment && g.FellApart > 0 }) {
		return ", what fell apart counted as 0"
	}
	return ""
}

// A boxes puts the groups of one specimen under a treatment into four boxes.
type boxes struct {
	Treatment string
	Rows      []boxRow
}

type boxRow struct {
	Box  strength.Box
	Says string
	Who  []string
}

func (s *source) boxes() (out []boxes, mixed bool) {
	says := []boxRow{
		{strength.BoxFellApart, "came apart before any load was put on it", nil},
		{strength.BoxBondBroke, "the bond gave way: its strength is known", nil},
		{strength.BoxWoodBroke, "the wood gave way first: the bond is stronger than that", nil},
		{strength.BoxNoAnswer, "the rig gave way first, or it was left out", nil},
	}
	for _, t := range s.study.Treatments {
		b := boxes{Treatment: t.Key, Rows: slices.Clone(says)}
		met := false
		for _, g := range s.results.Groups {
			if g.Treatment != t.Key || s.solid(g.Adhesive) {
				continue
			}
			if g.N != 1 || len(g.Members) != 1 {
				mixed = true
				continue
			}
			sp := g.Members[0]
			at := slices.IndexFunc(b.Rows, func(r boxRow) bool { return r.Box == strength.BoxOf(sp) })
			b.Rows[at].Who = append(b.Rows[at].Who, s.units().boxed(sp, s.apart(g)))
			met = true
		}
		if met {
			out = append(out, b)
		}
	}
	return out, mixed
}

// boxed names what lies in a box, with its strength and, after a comma, the
// rig or state that sets it apart from others of its kind.
func (u units) boxed(sp strength.Specimen, apart string) string {
	if !sp.Bound.Measured() {
		return sp.Adhesive + apart
	}
	return fmt.Sprintf("%s (%s%s %s%s)", sp.Adhesive, sign(sp.Bound), u.stress(sp.ShearMPa).Shown, u.StressUnit(), apart)
}

// A groupRow is one group in the table under the figure.
type groupRow struct {
	Adhesive, Condition string
	G                   strength.Group
	Count               string // n, and how many of them the mean rests on
	Gone                string // instead of limits, where all fell apart
	Alone               string // who was treated otherwise than the rest, and the mean without
	Survivors           number
	SurvivorsLimits     limits
	Bound               string // "≥" before the means
	WithZeros           number
	Fitted              number
	FittedLimits        limits
	LowerBound          number
	Wood                number
}

func (s *source) groupRows(o order) (rows []groupRow) {
	for _, r := range s.all(o) {
		for _, i := range r.Groups {
			rows = append(rows, s.groupRow(r, i))
		}
	}
	return rows
}

func (s *source) groupRow(r row, i int) groupRow {
	g, u := s.results.Groups[i], s.units()
	e := g.Estimate()
	out := groupRow{Adhesive: s.kind(r.Key), Condition: s.condition(g), G: g, Count: countWords(g), Bound: sign(e.Bound),
		Survivors: u.stress(e.Value), WithZeros: u.stress(g.Mean), Wood: rounded(g.WoodFailure, 0)}
	if g.AllApart() {
		out.Gone = fellApartWords(g)
	}
	out.Alone = wording.InRow(g, s.study.Units)
	if g.N-g.LeftOut > 1 { // of one specimen there is nothing but itself
		out.SurvivorsLimits = u.limits(g)
		out.Fitted, out.FittedLimits = u.stress(g.Fitted), limitsOf(g.FittedLow, g.FittedHigh, u.stress)
		if g.Fitted != nil {
			out.FittedLimits = out.FittedLimits.unlessWide(g.FittedLow, g.FittedHigh, *g.Fitted)
		}
		out.LowerBound = u.stress(g.LowerBound)
	}
	if s.solid(r.Key) {
		out.G = asWood(g)
	}
	return out
}

// anyCut reports whether any limits in the table begin at 0 for want of better.
func anyCut(rows []groupRow) bool {
	return slices.ContainsFunc(rows, func(r groupRow) bool { return r.SurvivorsLimits.Cut || r.FittedLimits.Cut })
}

// warnings says each once, with the groups that it holds for.
func (s *source) warnings(o order) (out []sentence) {
	said := newTally()
	for _, r := range s.all(o) {
		for _, i := range r.Groups {
			g := s.results.Groups[i]
			for _, w := range g.Warnings {
				if g.N-g.LeftOut < 2 && w.Kind.OfFit() {
					continue // nothing is fitted to one specimen here
				}
				said.add(wording.Warning(w, s.study.Units), s.kind(g.Adhesive)+" "+s.condition(g))
			}
		}
	}
	for _, w := range said.order {
		out = append(out, sentence{w, strings.Join(said.who[w], ", ")})
	}
	return out
}

// A specimenRow is one specimen with its strength.
type specimenRow struct {
	S         strength.Specimen
	Kind      string // adhesive
	Ended     string
	Called    string
	Sign      string
	Shear     number
	PlusMinus number
	Wood      number
}

// mostSpecimens is how many the page lists one by one; of more, the tables
// that export writes hold them all.
const mostSpecimens = 240

func (s *source) specimenRows() (rows []specimenRow) {
	if len(s.results.Specimens) > mostSpecimens {
		return nil
	}
	u := s.units()
	for _, sp := range s.results.Specimens {
		r := specimenRow{S: sp, Kind: s.kind(sp.Adhesive), Ended: s.endedText(sp), Called: called(sp), Shear: u.stress(sp.ShearMPa), PlusMinus: u.stress(sp.PlusMinus), Wood: rounded(sp.WoodFailure, 0)}
		r.Sign = sign(sp.Bound)
		rows = append(rows, r)
	}
	return rows
}
