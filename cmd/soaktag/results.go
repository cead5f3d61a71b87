package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// resultsCommand says which bond held, as strongly as the record allows.
func (s *session) resultsCommand() *cli.Command {
	return &cli.Command{
		Name:  "results",
		Usage: "give strengths, retention and what can be told apart, with every number's marks",
		Description: "\">=\" is a lower bound: the wood or the rig gave way before the bond. Where groups were\n" +
			"treated or broken differently the reason stands in place of the number; --json has both.\n" +
			"One specimen of each is never ranked.",
		Flags:  lookFlags(&cli.StringFlag{Name: "pool", Usage: "take adhesives `KEY,KEY` together, on purpose, and give the share that still holds"}),
		Action: s.results,
	}
}

func (s *session) results(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	report := strength.Results(view.rec)
	wording.Marks(report.Specimens)
	if c.IsSet("pool") {
		return s.pool(c, view.rec.Study(), report)
	}
	if c.Bool("json") {
		return s.json(c, "results/1", report)
	}
	s.printResults(view.rec.Study(), report)
	return nil
}

func (s *session) printResults(study *tracker.Study, r strength.Report) {
	if len(r.Groups) == 0 {
		s.print("nothing has been broken yet\n")
		return
	}
	s.printFindings(r.Findings)
	u := study.Units
	several, single := splitGroups(r.Groups)
	if len(several) > 0 {
		s.printGroups(several, r.Letters, u)
	}
	if len(several) > 0 && len(single) > 0 {
		s.print("\n")
	}
	if len(single) > 0 {
		s.printBoxes(study, r.Specimens, single)
	}
	r = withoutSingles(r, several, single)
	s.printRetention(r)
	s.printApart(r)
	s.printComparisons(r)
	s.printOdd(r.Specimens, u)
}

// printFindings says in words what the numbers below come to.
func (s *session) printFindings(findings []string) {
	for _, f := range findings {
		s.print("%s", prose(f, "- ", "  "))
	}
	if len(findings) > 0 {
		s.print("\n")
	}
}

// splitGroups sets groups of one specimen apart: they are never ranked.
func splitGroups(groups []strength.Group) (several, single []strength.Group) {
	for _, g := range groups {
		if g.N == 1 {
			single = append(single, g)
		} else {
			several = append(several, g)
		}
	}
	return several, single
}

// withoutSingles leaves out what would be compared with one specimen: the
// boxes have said that there is nothing to compare. One specimen that was only
// broken on another rig or in another state than the rest does not count here.
func withoutSingles(r strength.Report, several, single []strength.Group) strength.Report {
	alone := func(adhesive, treatment string) bool {
		same := func(g strength.Group) bool { return g.Adhesive == adhesive && g.Treatment == treatment }
		return slices.ContainsFunc(single, same) && !slices.ContainsFunc(several, same)
	}
	r.Retention = slices.DeleteFunc(slices.Clone(r.Retention), func(ret strength.Retention) bool {
		return alone(ret.Adhesive, ret.Treatment)
	})
	r.Comparisons = slices.DeleteFunc(slices.Clone(r.Comparisons), func(c strength.Comparison) bool {
		return alone(c.A, c.Treatment) || alone(c.B, c.Treatment)
	})
	return r
}

func (s *session) printGroups(groups []strength.Group, letters map[string]strength.LettersByKey, u quantity.System) {
	s.print("Shear strength in %s of what survived; the order is that of the plan, not a ranking\n\n", u.StressUnit())
	t := newTable("adhesive", "treatment", ">n", ">mean", ">sd", "95 % interval", ">wood %", "letters", "of these")
	for _, g := range groups {
		t.row(g.Adhesive, conditions(g, groups), basis(g), meanText(g, u), stress(u, g.SDSurvivors),
			aboveZero(g.Low, g.High, func(x *float64) string { return stress(u, x) }), whole(g.WoodFailure), letters[g.Treatment][g.Adhesive], makeup(g, u))
	}
	s.print("%s\n", t)
	if slices.ContainsFunc(groups, func(g strength.Group) bool { return g.Low != nil && *g.Low < 0 }) {
		s.print("* The interval would begin below 0: too few specimens, or too unlike, to tell.\n")
	}
	s.print("Adhesives of one treatment that share a letter cannot be told apart; without a letter: not compared.\n")
	s.print("Where the wood gave way first, mean and interval take the reading as it stands: hence \">=\".\n")
}

// basis is how many specimens the mean rests on, of how many there are, and
// from how many bonded blocks they come where that is fewer.
func basis(g strength.Group) string {
	n := g.Broke + g.WoodLimited
	text := count(g.N)
	if n < g.N {
		text = fmt.Sprintf("%d of %d", n, g.N)
	}
	if g.Units > 0 && g.Units < n {
		text += fmt.Sprintf(" (%s)", wording.Plural(g.Units, "block"))
	}
	return text
}

// conditions is the treatment, with rig and state where an adhesive was not
// broken on one rig in one state throughout.
func conditions(g strength.Group, all []strength.Group) string {
	text := g.Treatment
	for _, other := range all {
		if other.Rig != g.Rig && other.Rig != "" && g.Rig != "" {
			return text + ", " + string(g.Rig) + ", " + string(g.State)
		}
		if other.Treatment == g.Treatment && other.State != g.State && other.State != "" {
			text += ", " + string(g.State)
		}
	}
	return text
}

// meanText is the mean of survivors; at least that where the wood gave way in
// any of them.
func meanText(g strength.Group, u quantity.System) string {
	if g.MeanSurvivors == nil {
		return allApart(g)
	}
	return lowerBound(g) + stress(u, g.MeanSurvivors)
}

// allApart is 0 where every specimen fell apart: there that is the strength.
func allApart(g strength.Group) string {
	if g.FellApart > 0 && g.FellApart+g.LeftOut == g.N {
		return "0"
	}
	return "-"
}

func lowerBound(g strength.Group) string {
	if g.WoodLimited > 0 {
		return ">= "
	}
	return ""
}

// makeup says what a group's specimens came to, where they did not all break.
func makeup(g strength.Group, u quantity.System) string {
	var parts []string
	say := func(n int, what string) {
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, what))
		}
	}
	say(g.WoodLimited, "wood-limited")
	say(g.AtLeast, "at least")
	say(g.FellApart, "fell apart")
	say(g.LeftOut, "left out")
	if g.FellApart > 0 && g.Mean != nil {
		parts = append(parts, "mean with zeros "+lowerBound(g)+stress(u, g.Mean))
	}
	if g.WoodLimited > 0 && g.Fitted != nil {
		parts = append(parts, "fitted "+stress(u, g.Fitted))
	}
	return strings.Join(parts, ", ")
}

// printBoxes puts groups of one specimen into the four boxes, in plan order.
func (s *session) printBoxes(study *tracker.Study, specimens []strength.Specimen, single []strength.Group) {
	u, sofar, follows := study.Units, "", ": fell apart is 0 %, 1 of 1"
	if moreToCome(specimens, single) {
		sofar, follows = " so far", " yet"
	}
	s.print("One specimen each%s: no interval, no ranking, only which box it fell into\n\n", sofar)
	boxes := []strength.Box{strength.BoxFellApart, strength.BoxBondBroke, strength.BoxWoodBroke, strength.BoxNoAnswer}
	for _, treatment := range study.Treatments {
		var lines []string
		for _, box := range boxes {
			if names := boxed(specimens, single, treatment.Key, box, u); len(names) > 0 {
				lines = append(lines, fmt.Sprintf("  %-10s  %s", box, strings.Join(names, ", ")))
			}
		}
		if len(lines) > 0 {
			s.print("%s\n%s\n\n", treatment.Key, strings.Join(lines, "\n"))
		}
	}
	s.print("In brackets %s. Of one dry and one soaked specimen no retention follows%s.\n", u.StressUnit(), follows)
}

// moreToCome reports whether any group of one specimen was meant to have more.
func moreToCome(specimens []strength.Specimen, single []strength.Group) bool {
	return slices.ContainsFunc(single, func(g strength.Group) bool {
		n := 0
		for _, sp := range specimens {
			if sp.Adhesive == g.Adhesive && sp.Treatment == g.Treatment {
				n++
			}
		}
		return n > 1
	})
}

func boxed(specimens []strength.Specimen, single []strength.Group, treatment string, box strength.Box, u quantity.System) []string {
	var names []string
	for _, sp := range specimens {
		alone := slices.ContainsFunc(single, func(g strength.Group) bool {
			return g.Treatment == treatment && sp.Treatment == treatment && g.Adhesive == sp.Adhesive &&
				g.Rig == sp.Rig && g.State == sp.State
		})
		if alone && sp.Outcome != strength.NoneYet && strength.BoxOf(sp) == box {
			names = append(names, sp.Adhesive+boxNumber(sp, u))
		}
	}
	return names
}

func boxNumber(sp strength.Specimen, u quantity.System) string {
	switch sp.Bound {
	case stat.Exact:
		return " (" + stress(u, sp.ShearMPa) + ")"
	case stat.AtLeast:
		return " (>= " + stress(u, sp.ShearMPa) + ")"
	}
	return ""
}

func (s *session) printRetention(r strength.Report) {
	if len(r.Retention) == 0 {
		return
	}
	s.print("\nRetention: strength left, in %% of the dry control\n\n")
	paired := slices.ContainsFunc(r.Retention, func(ret strength.Retention) bool { return ret.Pairs > 0 })
	headings := []string{"adhesive", "treatment", ">left", "95 % interval"}
	if paired {
		headings = append(headings, ">by board", "95 % interval", ">pairs")
	}
	t := newTable(append(headings, "")...)
	for _, ret := range r.Retention {
		t.row(retentionRow(ret, paired)...)
	}
	s.print("%s", t)
	s.print("<= and >=: the wood gave way in the dry, or the wet, specimens first; ?: in both.\n")
	for _, ret := range r.Retention {
		for _, reason := range ret.Reasons {
			s.print("  %s %s: %s\n", ret.Adhesive, ret.Treatment, reason)
		}
	}
}

// printApart says how many fell apart beside the strength that is left: it is
// that of the survivors.
func (s *session) printApart(r strength.Report) {
	for _, ret := range r.Retention {
		for _, g := range r.Groups {
			if g.Adhesive == ret.Adhesive && g.Treatment == ret.Treatment && g.FellApart > 0 && ret.Ratio != nil && *ret.Ratio > 0 {
				s.print("  %s %s: of the survivors; %d of %d fell apart%s\n", g.Adhesive, g.Treatment, g.FellApart, g.N,
					share(g.FellApartLow, g.FellApartHigh))
			}
		}
	}
}

// share writes the exact limits of what would fall apart of all such bonds.
func share(low, high *float64) string {
	if low == nil || high == nil {
		return ""
	}
	return fmt.Sprintf(" (95 %% limits of such bonds %.0f to %.0f %%)", *low, *high)
}

// retentionRow prints no number that is not comparable: the reasons stand
// below. Columns for pairs of one board are there only where pairs are.
func retentionRow(r strength.Retention, paired bool) []string {
	left, limits, why := bounded(r.Bound, percent(r.Ratio)), interval(r.Low, r.High, percent), ""
	pairs := []string{bounded(r.Bound, percent(r.PairedRatio)), interval(r.PairedLow, r.PairedHigh, percent), count(r.Pairs)}
	switch {
	case r.Ratio != nil && *r.Ratio == 0:
		left, limits, why, pairs = "0", "", "all fell apart", []string{"", "", ""}
	case !r.Comparable:
		left, limits, why, pairs = "-", "", "not comparable, see below", []string{"", "", ""}
	}
	row := []string{r.Adhesive, r.Treatment, left, limits}
	if paired {
		row = append(row, pairs...)
	}
	return append(row, why)
}

func bounded(bound, number string) string {
	if bound == "=" || number == "-" {
		return number
	}
	return bound + " " + number
}

// printComparisons says in words which adhesives stand apart, and why others
// may not be compared.
func (s *session) printComparisons(r strength.Report) {
	apart, together, refused := newReasons(), newReasons(), newReasons()
	for _, c := range r.Comparisons {
		pair := c.A + " and " + c.B
		switch {
		case !c.Comparable:
			for _, why := range c.Reasons {
				refused.add(c.Treatment+": "+why, pair)
			}
		case c.ToldApart && !c.Sure:
			together.add(fmt.Sprintf("%s: the readings differ, but %s", c.Treatment, c.Doubt), pair)
		case c.ToldApart:
			line := fmt.Sprintf("%s, ratio %s (%s)", pair, number2(c.Ratio), interval(c.Low, c.High, number2))
			apart.add(c.Treatment, strings.Join(append([]string{line}, c.Reasons...), "\n      "))
		default:
			together.add(strings.TrimSuffix(c.Treatment+": "+strings.Join(c.Reasons, "; "), ": "), pair)
		}
	}
	s.printReasons("Told apart at 5 %", apart, 1)
	s.printReasons("Cannot be told apart", together, lineWidth)
	s.printReasons("Not comparable", refused, lineWidth)
}

// printReasons prints each reason with the pairs that it holds for, in lines
// of a width; 1 gives each pair its own.
func (s *session) printReasons(title string, r *reasons, width int) {
	if len(r.order) == 0 {
		return
	}
	s.print("\n%s\n", title)
	for _, why := range r.order {
		s.print("  %s\n%s", why, wrappedTo(width, r.pairs[why], "    "))
	}
}

// reasons gathers pairs under what is said of them, so that one bath left too
// long is one line and not five.
type reasons struct {
	order []string
	pairs map[string][]string
}

func newReasons() *reasons { return &reasons{pairs: map[string][]string{}} }

func (r *reasons) add(why, pair string) {
	if _, ok := r.pairs[why]; !ok {
		r.order = append(r.order, why)
	}
	r.pairs[why] = append(r.pairs[why], pair)
}

// crowd is how many specimens at least must bear a mark, besides being half of
// all, for it to be told once for all of them.
const crowd = 4

// printOdd lists every specimen that did not simply break within its plan. A
// mark that a crowd bears stands first, with all their names.
func (s *session) printOdd(specimens []strength.Specimen, u quantity.System) {
	rules, bearers := crowded(specimens)
	title := "\nOdd specimens\n"
	for _, rule := range rules {
		s.print("%s  %s: %s\n%s", title, rule, wording.Plural(len(bearers[rule]), "specimen"), wrapped(bearers[rule], "      "))
		title = ""
	}
	for _, sp := range specimens {
		marks := ownMarks(sp, bearers)
		if sp.Outcome == strength.NoneYet || sp.Outcome == strength.Broke && len(marks) == 0 {
			continue
		}
		s.print("%s  %s: %s\n", title, strengthName(sp), outcomeText(sp, u))
		title = ""
		for _, text := range marks {
			s.print("      %s\n", text)
		}
	}
}

// crowded finds the rules of marks that a crowd bears, in order of their first
// bearer, and who bears them.
func crowded(specimens []strength.Specimen) (rules []string, bearers map[string][]string) {
	bearers = map[string][]string{}
	for _, sp := range specimens {
		for _, m := range sp.Marks {
			if bearers[m.Rule] == nil {
				rules = append(rules, m.Rule)
			}
			if !slices.Contains(bearers[m.Rule], sp.Called()) {
				bearers[m.Rule] = append(bearers[m.Rule], sp.Called())
			}
		}
	}
	few := func(names []string) bool { return len(names) < crowd || 2*len(names) < len(specimens) }
	rules = slices.DeleteFunc(rules, func(rule string) bool { return few(bearers[rule]) })
	maps.DeleteFunc(bearers, func(_ string, names []string) bool { return few(names) })
	return rules, bearers
}

// ownMarks are the texts of a specimen's marks, each once, without those that
// were told for a crowd.
func ownMarks(sp strength.Specimen, told map[string][]string) []string {
	var texts []string
	for _, m := range sp.Marks {
		if told[m.Rule] == nil && !slices.Contains(texts, m.Text) {
			texts = append(texts, m.Text)
		}
	}
	return texts
}

func strengthName(sp strength.Specimen) string {
	if sp.Name == "" {
		return sp.Code
	}
	return sp.Code + " " + string(sp.Name)
}

func outcomeText(sp strength.Specimen, u quantity.System) string {
	text := string(sp.Outcome)
	switch sp.Bound {
	case stat.Exact:
		text += ", " + stress(u, sp.ShearMPa) + " " + u.StressUnit()
	case stat.AtLeast:
		text += ", at least " + stress(u, sp.ShearMPa) + " " + u.StressUnit()
	case stat.Zero:
		text += ", counted as 0"
	}
	if sp.PlusMinus != nil && *sp.ShearMPa > 0 {
		text += fmt.Sprintf(" +/- %.0f %%", 100**sp.PlusMinus / *sp.ShearMPa)
	}
	return text
}

// number2 writes a number to the hundredth; "-" when it is not known.
func number2(x *float64) string { return decimals(x, 2) }

// whole writes a number without decimals; "-" when it is not known.
func whole(x *float64) string { return decimals(x, 0) }

// percent writes a ratio in % to the tenth; "-" when it is not known.
func percent(x *float64) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.1f", 100**x)
}

func decimals(x *float64, n int) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.*f", n, *x)
}

// aboveZero is an interval of strengths, none of which is below 0: there it
// begins at 0, with the sign of the note that says why.
func aboveZero(low, high *float64, write func(*float64) string) string {
	if low == nil || high == nil || *low >= 0 {
		return interval(low, high, write)
	}
	return "0* to " + write(high)
}

func interval(low, high *float64, write func(*float64) string) string {
	if low == nil || high == nil {
		return "-"
	}
	return write(low) + " to " + write(high)
}
