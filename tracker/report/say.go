package report

import (
	"fmt"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// can lists what the study supports, from its own comparisons.
func (s *source) can() (out []string) {
	for _, t := range s.treatmentsLeadingFirst() {
		above, hangs := newTally(), newTally()
		for _, c := range s.results.Comparisons {
			if c.Treatment != t || !c.Comparable || !c.Sure {
				continue
			}
			a, b := c.A, c.B
			if c.Better < 0 {
				a, b = b, a
			}
			above.add(a, b)
			if len(c.HangsOn()) > 0 {
				hangs.add(a, b)
			}
		}
		for _, a := range above.order {
			text := fmt.Sprintf("%s: %s held more than %s", t, a, wording.And(above.who[a]))
			if doubted := hangs.who[a]; len(doubted) > 0 {
				text += "; over " + wording.And(doubted) + " that hangs on how it is worked out"
			}
			out = append(out, text+".")
		}
	}
	if len(out) > 0 {
		out = append(out, "“Held more”: at a risk of 5 %, over all pairs of a treatment, that any one of these is not so.")
	}
	for _, g := range s.results.Groups {
		if g.WoodLimited > 0 && g.WoodLimited == g.N-g.LeftOut {
			out = append(out, fmt.Sprintf("%s %s: the bond was at least as strong as this wood in %s.", g.Adhesive, s.condition(g), ofAll(g.WoodLimited, g.N)))
		}
	}
	if len(out) == 0 {
		out = append(out, "What happened to each of these specimens, as listed here. Nothing more follows from them yet.")
	}
	return out
}

// ofAll says that something is so of n, whatever else there was.
func ofAll(n, of int) string {
	switch {
	case of == 1:
		return "the only one"
	case n < of:
		return fmt.Sprintf("%d of %d, the others left out", n, of)
	}
	return fmt.Sprintf("all %d", n)
}

// cannot lists what does not follow, from the same data.
func (s *source) cannot(o order) (out []string) {
	say := func(form string, args ...any) { out = append(out, fmt.Sprintf(form, args...)) }
	if s.onlySingles(o.Treatment) {
		say("Which is best: one specimen of a kind shows no scatter, so it can neither be ranked nor compared.")
	}
	for _, t := range s.treatmentsLeadingFirst() {
		if pairs := s.together(t); len(pairs) > 0 {
			say("%s: that %s are equal. They were not told apart with so few; that is all.", t, enough(pairs))
		}
	}
	out = append(out, s.doubted()...)
	for _, r := range o.Rows {
		if len(r.Why) > 0 {
			say("How %s compares with the others: %s.", r.Key, reasonsText(r.Why))
		}
	}
	out = append(out, s.cannotCensored()...)
	for _, d := range s.drift {
		if d.Judged && d.CommonVerdict.Outside() && d.Planned.Kind == schedule.Target {
			say("That this was a %s of %s: all specimens together had %s.", d.Interval, schedule.Short(d.Planned.Length), schedule.Short(d.Planned.Length+d.Common))
		}
	}
	say("Anything of other wood, other batches of adhesive or other hands: the results hold for the specimens tested. This is no certificate.")
	return out
}

// doubted says of pairs whose readings differ why nobody held more, those of one
// reason together.
func (s *source) doubted() (out []string) {
	for _, t := range s.treatmentsLeadingFirst() {
		why := newTally()
		for _, c := range s.results.Comparisons {
			if c.Treatment == t && c.Comparable && c.Doubt.Kind != strength.NoDoubt {
				c = strongerFirst(c)
				why.add(wording.Unsure(c.Doubt), c.A+" more than "+c.B)
			}
		}
		for _, doubt := range why.order {
			out = append(out, fmt.Sprintf("%s: that %s: the readings differ, but %s.", t, wording.And(held(why.who[doubt])), doubt))
		}
	}
	return out
}

// held puts the verb into the first of several comparisons, which goes for all.
func held(pairs []string) []string {
	first, rest, _ := strings.Cut(pairs[0], " ")
	return append([]string{first + " held " + rest}, pairs[1:]...)
}

// enough names some pairs, and how many more there are.
func enough(pairs []string) string {
	if len(pairs) > 4 {
		return fmt.Sprintf("%s and %d more pairs", strings.Join(pairs[:3], ", "), len(pairs)-3)
	}
	return strings.Join(pairs, ", or ")
}

// together are the pairs of a treatment that stand and are not told apart.
func (s *source) together(treatment string) (pairs []string) {
	for _, c := range s.results.Comparisons {
		if c.Treatment == treatment && c.Comparable && !c.Sure && c.Doubt.Kind == strength.NoDoubt {
			pairs = append(pairs, c.A+" and "+c.B)
		}
	}
	return pairs
}

// cannotCensored says what bounds and zeros leave open.
func (s *source) cannotCensored() (out []string) {
	say := func(form string, args ...any) { out = append(out, fmt.Sprintf(form, args...)) }
	bounds, measured := 0, 0
	for _, g := range s.results.Groups {
		bounds, measured = bounds+g.WoodLimited+g.AtLeast, measured+g.N-g.LeftOut
		if g.FellApart > 0 {
			text := fmt.Sprintf("How often %s %s falls apart: %d of %d did", s.kind(g.Adhesive), g.Treatment, g.FellApart, g.N-g.LeftOut)
			if g.AllApart() && g.FellApart > 1 {
				text = fmt.Sprintf("How often %s %s falls apart: all %d did", s.kind(g.Adhesive), g.Treatment, g.FellApart)
			}
			if l := limitsOf(g.FellApartLow, g.FellApartHigh, three).text(); l != "" {
				text += ", which agrees with anything from " + l + " %"
			}
			out = append(out, text+".")
		}
	}
	if bounds > 0 {
		say("How strong the bond is where the wood or the rig gave way first (%d of %d): only that it is stronger.", bounds, measured)
		say("That a fit with such bounds is right: it takes the strength of wood and of bond as independent, and dense wood may lift both.")
	}
	for _, r := range s.results.Retention {
		if r.Comparable && r.Bound == stat.Either && !s.alone(r.Adhesive, r.Treatment) {
			say("What %s keeps: something else gave way first both dry and %s, so the ratio may err either way.", s.kind(r.Adhesive), r.Treatment)
		}
	}
	if n := s.tally(func(sp strength.Specimen) bool { return sp.Provisional }); n > 0 {
		say("For certain, how much wood tore in %s: it was judged at the break, and not both fracture faces have been read since.", wording.Plural(n, "specimen"))
	}
	return out
}

func (s *source) tally(is func(strength.Specimen) bool) (n int) {
	for _, sp := range s.results.Specimens {
		if is(sp) {
			n++
		}
	}
	return n
}

// methods says how everything was worked out, in terms of no program.
func (s *source) methods() []sentence {
	if len(s.results.Groups) == 0 {
		return append(s.bonds(), s.provenance()...)
	}
	return append(append(s.bonds(), s.sums()...), s.provenance()...)
}

// sums says how numbers came out of readings.
func (s *source) sums() []sentence {
	limit, scale := fixed(s.study.Rule.WoodLimitedAt.Percent(), 0), "the logarithm of strength"
	if s.study.Rule.PlainScale {
		scale = "the plain scale"
	}
	out := []sentence{
		{"Shear strength", "Gauge pressure times ram area, or the force read directly, over bond length times bond width, in " + s.units().Choose("MPa (1 MPa is 1 N/mm², about 145 psi)", "psi (pounds-force per square inch)") + "; as measured on each specimen, else as planned. " +
			"Its uncertainty (±, coverage factor 2) combines the gauge's class and division, the ram's area, friction and the bond's dimensions as far as the plan gives them (after JCGM 100)."},
		{"Outcomes", "Broke: the bond gave way, the value is exact. Wood-limited: wood failure of " + limit + " % or more, the bond is at least as strong as the reading. " +
			"Fixture failure, press limit, stopped, slipped: at least the highest reading. Fell apart before any load: 0, counted and shown. Lost, damaged, withdrawn: left out, listed."},
		{"Means", "Survivors are specimens that broke or were wood-limited, the latter at their reading; 95 % limits from Student's t. Beside it the mean with every specimen that fell apart as 0."},
		{"Fitted median", "Maximum likelihood on " + scale + ", wood and rig breaks as lower bounds; profile-likelihood limits at the cut-off n ln(1 + t²/(n−1)), which are those of Student's t where nothing is a bound. A bound counts in n as what it tells: nothing far below the others, about two thirds of a specimen in their middle. " +
			"What fell apart stays out. Where no bond gave way: a one-sided 95 % lower bound. Share that fell apart: exact limits after Clopper and Pearson."},
		{"Retention", "Mean of survivors wet over dry; limits on the logarithm with Welch's degrees of freedom, beside them Fieller's on the plain scale. By board: the geometric mean of the ratios within each board. " +
			"At most: wood gave way first in a dry specimen, or a rig at more than the mean; at least: in a wet one; ?: in both."},
		{"Comparisons", "Ratio of geometric means of survivors. Two adhesives count as told apart only if the gap is too wide for the scatter of all groups together (Tukey and Kramer) and for the scatter of just these two (Welch; with many pairs each must clear a higher bar), " +
			"if their arithmetic means rank as the logarithms do, and if lower bounds in the weaker one, taken as bounds, leave it so; limits and p are the wider and the larger of these. Where enough fell apart, half of the risk of 5 % is kept for the shares (Fisher's exact test, closed over all groupings), and strength and shares must not contradict each other. " +
			"With one to four times unlike scatter this errs in at most one study in fifteen, and with few specimens in far fewer. Several specimens sawn from one bonded block count once. " +
			"Letters after Piepho (2004)."},
		{"Drift", "Actual less planned length, between instants. Common drift is the median of the groups' medians, differential drift a group's median less that. Who may be compared is judged within a treatment: a group whose differential drift there is out of tolerance is not compared, nor are two that lie further apart than the plan allows, " +
			"except that one which soaked longer and still came out above has won, unless its adhesive goes on curing in water. No strength was corrected for drift."},
	}
	if s.wood != nil {
		out = append(out, sentence{"The wood's own strength", s.wood.Source + "."})
	}
	return out
}

// provenance says what this report was made from.
func (s *source) provenance() []sentence {
	out := []sentence{}
	done := len(s.results.Specimens) - s.tally(func(sp strength.Specimen) bool { return sp.Outcome == strength.NoneYet })
	text := fmt.Sprintf("%s, %d of them done with, ", wording.Plural(len(s.results.Specimens), "specimen"), done)
	hash := " with head hash "
	if at := s.asOfText(); at != "" {
		text, hash = text+at+"; the log has "+wording.Plural(int(s.o.Events), "event")+" in all", ", head hash "
	} else {
		text += "from a log of " + wording.Plural(int(s.o.Events), "event")
	}
	if s.o.Head != "" {
		text += hash + s.o.Head
	}
	return append(out, sentence{"Record", text + ". Made on " + s.madeText() + "."})
}
