package report

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// Solid wood has no bond that could break. It is no rival of the adhesives but
// the yardstick for them: lines in the figure, and a row of what it kept.

const solidWood = "solid wood"

// solid reports whether a key stands for solid wood.
func (s *source) solid(key string) bool {
	a := s.study.Adhesive(key)
	return a != nil && a.SolidWood
}

// solidKeys are the keys of solid wood with results, in plan order.
func (s *source) solidKeys() (keys []string) {
	for _, a := range s.study.Adhesives {
		if a.SolidWood && slices.ContainsFunc(s.results.Groups, func(g strength.Group) bool { return g.Adhesive == a.Key }) {
			keys = append(keys, a.Key)
		}
	}
	return keys
}

// kind is what the page calls an adhesive: its key or, without one, solid wood,
// with its key only where there are several.
func (s *source) kind(key string) string {
	switch {
	case !s.solid(key):
		return key
	case len(s.solidKeys()) > 1:
		return solidWood + " " + key
	}
	return solidWood
}

// solidRows are solid wood as rows of tables, after the adhesives.
func (s *source) solidRows() (rows []row) {
	for _, key := range s.solidKeys() {
		r := row{Key: key}
		for i, g := range s.results.Groups {
			if g.Adhesive == key {
				r.Groups = append(r.Groups, i)
			}
		}
		rows = append(rows, r)
	}
	return rows
}

// all are the rows of tables: the adhesives of the figures, then solid wood.
func (s *source) all(o order) []row { return append(slices.Clone(o.Rows), s.solidRows()...) }

// A yardstick is a strength of the wood's own, in MPa, that the figure draws as
// a line.
type yardstick struct {
	name  string
	value float64
}

// yardsticks are what solid wood of this study held; without any, the
// published strength of its species.
func (s *source) yardsticks() (all []yardstick) {
	for _, r := range s.solidRows() {
		for _, i := range r.Groups {
			if x := s.solidValue(i); exact(x) != "" {
				all = append(all, yardstick{s.kind(r.Key) + ", " + s.condition(s.results.Groups[i]), *x})
			}
		}
	}
	if w := s.wood; w != nil && len(all) == 0 {
		if w.Green > 0 {
			all = append(all, yardstick{"wood, green", w.Green})
		}
		all = append(all, yardstick{"wood, dry", w.Dry})
	}
	return all
}

// solidValue is a group's estimate, or that of its only specimen.
func (s *source) solidValue(i int) *float64 {
	if e := estimateOf(s.results.Groups[i]); e.Value != nil {
		return e.Value
	}
	if m := s.results.Groups[i].Members; len(m) == 1 {
		return m[0].ShearMPa
	}
	return nil
}

// yardNote says what the lines are, and where they come from.
func (s *source) yardNote() (notes []string) {
	if len(s.solidKeys()) > 0 {
		notes = append(notes, "Dashed lines: what solid wood of this study held, broken like the bonds; its numbers stand last in the table.")
		if w := s.wood; w != nil {
			notes = append(notes, fmt.Sprintf("Published for %s: %s. %s.", w.Species, s.published(), w.Source))
		}
	} else if w := s.wood; w != nil {
		notes = append(notes, "Dashed lines: the wood's own shear strength, "+w.Species+". "+w.Source+".")
	}
	return notes
}

// published is the wood's own strength from the table, in words.
func (s *source) published() string {
	text := s.units().about(s.wood.Dry) + " at 12 % moisture"
	if s.wood.Green > 0 {
		text += ", " + s.units().about(s.wood.Green) + " green"
	}
	return text
}

// asWood turns the counts of solid wood about: what broke there was wood.
func asWood(g strength.Group) strength.Group {
	g.WoodLimited, g.Broke = g.WoodLimited+g.Broke, 0
	return g
}

// endedText is an outcome as the page says it.
func (s *source) endedText(sp strength.Specimen) string {
	if s.solid(sp.Adhesive) && sp.Outcome == strength.Broke {
		return "the wood broke"
	}
	return string(sp.Outcome)
}

// survivorsNote says of what is kept that it is a share of those that were
// left, where some fell apart, and what it is without stragglers.
func (s *source) survivorsNote(r strength.Retention) string {
	var gone []string
	for _, g := range s.keptOf(r) {
		if g.FellApart > 0 && !g.AllApart() {
			text := fmt.Sprintf("%d of %d", g.FellApart, g.N-g.LeftOut)
			if g.Treatment != r.Treatment {
				text += " " + g.Treatment
			}
			gone = append(gone, text)
		}
	}
	var notes []string
	switch fell := strings.Join(gone, " and ") + " fell apart"; {
	case len(gone) == 0:
	case r.ZerosFirst():
		notes = append(notes, fell+" and count as 0", "of the survivors "+sign(r.Bound)+withLimits(percent(r.Ratio), limitsOf(r.Low, r.High, percent).towards(r.Bound)))
	case r.RatioWithZeros != nil:
		notes = append(notes, "of the survivors", fell+", with these as 0 "+sign(r.Bound)+percent(r.RatioWithZeros).Shown+" %")
	default:
		notes = append(notes, "of the survivors", fell)
	}
	if alone := wording.KeptWithout(r); alone != "" {
		notes = append(notes, alone)
	}
	return strings.Join(notes, "; ")
}

// withLimits writes a share in % with the limits that it has.
func withLimits(share number, l limits) string {
	if text := l.text(); text != "" {
		return share.Shown + " % (" + text + ")"
	}
	return share.Shown + " %"
}

// keptOf are the two groups that a retention compares, the treated first.
func (s *source) keptOf(r strength.Retention) (out []strength.Group) {
	treatments := []string{r.Treatment}
	for _, t := range s.study.Treatments {
		if t.Control {
			treatments = append(treatments, t.Key)
		}
	}
	for _, t := range treatments {
		if g := s.largest(r.Adhesive, t); g != nil {
			out = append(out, *g)
		}
	}
	return out
}
