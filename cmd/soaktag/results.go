package main

import (
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
		Name:  "results",
		Usage: "give strengths, retention and what can be told apart, with every number's marks",
		Flags: lookFlags(&cli.BoolFlag{Name: "full", Usage: "also every pair, strength left by board, marks and codes"},
			&cli.StringFlag{Name: "pool", Usage: "take adhesives `KEY,KEY` together, on purpose, and give the share that still holds"}),
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
	switch study := view.rec.Study(); {
	case len(report.Groups) == 0:
		s.print("%s\n", wording.NoResults)
	case c.Bool("full"):
		s.printFull(study, report)
	default:
		s.printBrief(study, report)
	}
	return nil
}

// printBrief prints what fits two screens.
func (s *session) printBrief(study *tracker.Study, r strength.Report) {
	brief := wording.BriefOf(r, study)
	s.printFindings(brief.Headline)
	if len(brief.Rows) > 0 {
		s.print("%s\n%s", brief.Caption, tableOf(wording.BriefHeadings, brief.Rows, ""))
		for _, note := range brief.Notes {
			s.print("%s", screen.Prose(note, "", ""))
		}
		s.print("\n")
	}
	if brief.Singles != nil {
		s.printBoxes(*brief.Singles)
		s.print("\n")
	}
	if len(brief.Cannot) > 0 {
		s.print("%s\n", wording.CannotTitle)
		s.printFindings(brief.Cannot)
	}
	s.print("soaktag results --full has every pair, strength left by board, marks and codes.\n")
}

// printFull prints all there is.
func (s *session) printFull(study *tracker.Study, r strength.Report) {
	s.printFindings(wording.Findings(r.Findings, study))
	several, single := r.BySize()
	if len(several) > 0 {
		s.printGroups(several, r, study)
	}
	if len(several) > 0 && len(single) > 0 {
		s.print("\n")
	}
	if len(single) > 0 {
		s.printBoxes(wording.BoxesOf(study, r))
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

func (s *session) printGroups(groups []strength.Group, r strength.Report, study *tracker.Study) {
	u := study.Units
	s.print("Shear strength in %s of what survived; the order is that of the plan, not a ranking\n\n", u.StressUnit())
	t := screen.NewTable("adhesive", "treatment", ">n", ">mean", ">sd", "95 % interval", ">wood %", "letters", "of these")
	for _, g := range groups {
		row := append([]string{g.Adhesive}, wording.GroupRow(g, groups, u)...)
		t.Row(append(row, r.LettersOf(g), wording.Makeup(g, u))...)
	}
	s.print("%s\n", t)
	for _, note := range wording.GroupNotes(groups, study) {
		s.print("%s", screen.Prose(note, "", ""))
	}
}

func (s *session) printLines(lead string, lines []string) {
	for _, line := range lines {
		s.print("%s%s\n", lead, line)
	}
}

// printBoxes puts groups of one specimen into the four boxes, in plan order.
func (s *session) printBoxes(b wording.Boxes) {
	s.print("%s\n\n", b.Title)
	for _, of := range b.Treatments {
		s.print("%s\n", of.Treatment)
		for _, line := range of.Boxes {
			s.print("  %-10s  %s\n", line.Box, line.Who)
		}
		s.print("\n")
	}
	s.print("%s\n", b.Note)
}

func (s *session) printRetention(r strength.Report) {
	if len(r.Retention) == 0 {
		return
	}
	headings, rows := wording.RetentionTable(r)
	s.print("\nRetention: strength left, in %% of the dry control\n\n%s", tableOf(headings, rows, ""))
	s.print("<= and >=: something else gave way first in the dry, or the wet, specimens; ?: in both.\n")
	s.printLines("  ", wording.BesideRetention(r))
}

// printComparisons says in words which adhesives stand apart, and why others
// may not be compared.
func (s *session) printComparisons(r strength.Report) {
	pairs := wording.PairsOf(r.Comparisons)
	s.printPairs("Told apart at 5 %", pairs.Apart, func(pairs []string, lead string) screen.Block { return screen.Fold(screen.Width, pairs, lead) })
	s.printPairs("Cannot be told apart", pairs.Together, screen.List)
	s.printPairs("Not comparable", pairs.Refused, screen.List)
}

// printPairs prints what is said of pairs, with the pairs set into lines.
func (s *session) printPairs(title string, said []wording.Heading, set func(pairs []string, lead string) screen.Block) {
	if len(said) == 0 {
		return
	}
	s.print("\n%s\n", title)
	for _, h := range said {
		s.print("  %s\n", h.Says)
		if len(h.Pairs) > 0 {
			s.print("%s", set(h.Pairs, "    "))
		}
	}
}

// printOdd lists every specimen that did not simply break within its plan. A
// mark that a crowd bears stands first.
func (s *session) printOdd(specimens []strength.Specimen, u quantity.System) {
	odd := wording.OddOf(specimens, u)
	if len(odd) > 0 {
		s.print("\nOdd specimens\n")
	}
	for _, o := range odd {
		s.print("  %s\n", o.Says)
		if len(o.Who) > 0 {
			s.print("%s", screen.List(o.Who, "      "))
		}
		s.printLines("      ", o.Marks)
	}
}
