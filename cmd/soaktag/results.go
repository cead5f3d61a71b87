package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// resultsCommand says which bond held, as strongly as the record allows.
func (s *session) resultsCommand() *cli.Command {
	return &cli.Command{
		Name:   "results",
		Usage:  "give strengths, retention and what can be told apart, with every number's marks",
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
	if c.IsSet("pool") {
		return s.pool(c, view.rec.Study(), report)
	}
	if c.Bool("json") {
		return s.json(c, "results/1", tables.NewResults(view.rec.Study(), report))
	}
	s.printResults(view.rec.Study(), report)
	return nil
}

func (s *session) printResults(study *tracker.Study, r strength.Report) {
	if len(r.Groups) == 0 {
		s.print("nothing has been broken yet\n")
		return
	}
	s.printFindings(wording.Findings(r.Findings, study))
	several, single := r.BySize()
	if len(several) > 0 {
		s.printGroups(several, r.Letters, study.Units)
	}
	if len(several) > 0 && len(single) > 0 {
		s.print("\n")
	}
	if len(single) > 0 {
		s.printBoxes(study, r)
	}
	r = r.WithoutSingles()
	s.printRetention(r)
	s.printComparisons(r)
	s.printOdd(r.Specimens, study.Units)
}

// printFindings says in words what the numbers below come to.
func (s *session) printFindings(findings []string) {
	for _, f := range findings {
		s.print("%s", screen.Prose(f, "- ", "  "))
	}
	if len(findings) > 0 {
		s.print("\n")
	}
}

func (s *session) printGroups(groups []strength.Group, letters map[string]strength.LettersByKey, u quantity.System) {
	s.print("Shear strength in %s of what survived; the order is that of the plan, not a ranking\n\n", u.StressUnit())
	t := screen.NewTable("adhesive", "treatment", ">n", ">mean", ">sd", "95 % interval", ">wood %", "letters", "of these")
	for _, g := range groups {
		row := append([]string{g.Adhesive}, wording.GroupRow(g, groups, u)...)
		t.Row(append(row, letters[g.Treatment][g.Adhesive], wording.Makeup(g, u))...)
	}
	s.print("%s\n", t)
	if slices.ContainsFunc(groups, func(g strength.Group) bool { return g.Low != nil && *g.Low < 0 }) {
		s.print("* The interval would begin below 0: too few specimens, or too unlike, to tell.\n")
	}
	s.print("Adhesives of one treatment that share a letter cannot be told apart; without a letter: not compared.\n")
	s.print("Where the wood gave way first, mean and interval take the reading as it stands: hence \">=\".\n")
}

// printBoxes puts groups of one specimen into the four boxes, in plan order.
func (s *session) printBoxes(study *tracker.Study, r strength.Report) {
	sofar, follows := "", ": fell apart is 0 %, 1 of 1"
	if r.MoreToCome() {
		sofar, follows = " so far", " yet"
	}
	s.print("One specimen each%s: no interval, no ranking, only which box it fell into\n\n", sofar)
	for _, treatment := range study.Treatments {
		var lines []string
		for _, box := range strength.Boxes {
			var names []string
			for _, sp := range r.Boxed(treatment.Key, box) {
				names = append(names, wording.Single(sp, study.Units))
			}
			if len(names) > 0 {
				lines = append(lines, fmt.Sprintf("  %-10s  %s", box, strings.Join(names, ", ")))
			}
		}
		if len(lines) > 0 {
			s.print("%s\n%s\n\n", treatment.Key, strings.Join(lines, "\n"))
		}
	}
	s.print("In brackets %s. Of one dry and one soaked specimen no retention follows%s.\n", study.Units.StressUnit(), follows)
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
	t := screen.NewTable(append(headings, "")...)
	for _, ret := range r.Retention {
		t.Row(wording.RetentionRow(ret, paired)...)
	}
	s.print("%s", t)
	s.print("<= and >=: the wood gave way in the dry, or the wet, specimens first; ?: in both.\n")
	for _, ret := range r.Retention {
		for _, reason := range ret.Reasons {
			s.print("  %s %s: %s\n", ret.Adhesive, ret.Treatment, wording.Reason(reason))
		}
	}
	for _, line := range wording.BesideRetention(r) {
		s.print("  %s\n", line)
	}
}

// printComparisons says in words which adhesives stand apart, and why others
// may not be compared.
func (s *session) printComparisons(r strength.Report) {
	pairs := wording.PairsOf(r.Comparisons)
	s.printPairs("Told apart at 5 %", pairs.Apart, func(pairs []string, lead string) string { return screen.Fold(1, pairs, lead) })
	s.printPairs("Cannot be told apart", pairs.Together, screen.List)
	s.printPairs("Not comparable", pairs.Refused, screen.List)
}

// printPairs prints what is said of pairs, with the pairs set into lines.
func (s *session) printPairs(title string, said []wording.Heading, set func(pairs []string, lead string) string) {
	if len(said) == 0 {
		return
	}
	s.print("\n%s\n", title)
	for _, h := range said {
		s.print("  %s\n%s", h.Says, set(h.Pairs, "    "))
	}
}

// printOdd lists every specimen that did not simply break within its plan. A
// mark that a crowd bears stands first, with all their names.
func (s *session) printOdd(specimens []strength.Specimen, u quantity.System) {
	crowds, title := strength.Crowds(specimens, strength.Specimen.Rules), "\nOdd specimens\n"
	for _, c := range crowds {
		var names []string
		for _, sp := range c.Who {
			names = append(names, sp.Called())
		}
		s.print("%s  %s: %s\n%s", title, c.Rule, wording.Plural(len(names), "specimen"), screen.List(names, "      "))
		title = ""
	}
	for _, sp := range specimens {
		marks := ownMarks(sp, crowds)
		if !sp.Odd(len(marks)) {
			continue
		}
		s.print("%s  %s: %s\n", title, strings.TrimSpace(sp.Code+" "+string(sp.Name)), wording.Strength(sp, u))
		title = ""
		for _, text := range marks {
			s.print("      %s\n", text)
		}
	}
}

// ownMarks are the texts of a specimen's marks, each once, without those that
// were told for a crowd.
func ownMarks(sp strength.Specimen, told []strength.Crowd) []string {
	var texts []string
	for _, m := range sp.Marks {
		text := wording.StrengthMark(m)
		crowded := slices.ContainsFunc(told, func(c strength.Crowd) bool { return c.Rule == m.Rule })
		if !crowded && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return texts
}
