package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/intake"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

func (s *session) beginCommand() *cli.Command {
	return &cli.Command{
		Name:        "begin",
		Usage:       "deal the specimens of a plan and make the study file",
		ArgsUsage:   "PLAN.toml",
		Description: columnHelp(tables.SpecimenColumns(false)),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "study", Usage: "the study `FILE` to make (default: the plan's name with .soaktag)"},
			&cli.StringFlag{Name: "specimens", Usage: "take these specimens from `FILE.csv` instead of dealing them"},
			&cli.StringFlag{Name: "by", Usage: "`WHO` begins it"},
			&cli.StringFlag{Name: "at", Usage: "it began at `TIME`, such as \"2026-10-17 18:00\" (default now); an amendment holds from then at the earliest"},
		},
		Action: s.begin,
	}
}

func (s *session) begin(c *cli.Context) error {
	planFile, err := oneFile(c, "PLAN.toml")
	if err != nil {
		return err
	}
	path := c.String("study")
	if path == "" {
		path = strings.TrimSuffix(planFile, filepath.Ext(planFile)) + ".soaktag"
	}
	if err := mustBeNew(path); err != nil {
		return err
	}
	study, err := s.readPlan(planFile)
	if err != nil {
		return err
	}
	beginning := intake.Beginning{Plan: study.Text, By: whoRecords(c, study)}
	if beginning.Dealt, beginning.DealtBy, err = s.deal(c.String("specimens"), study); err != nil {
		return err
	}
	if c.IsSet("at") {
		if beginning.At, _, err = schedule.ParseTime(c.String("at"), s.now(), study.Zone); err != nil {
			return refused(fmt.Errorf("--at: %w", err))
		}
	}
	for _, n := range intake.Namesakes(path, study.Prefix) {
		s.warn("%s", wording.Namesake(n, planFile))
	}
	if err := intake.Begin(path, beginning, s.now()); err != nil {
		return desked(err)
	}
	s.reportBegun(path, study, beginning)
	return nil
}

// readPlan reads a plan that must be good; its warnings are said in one line.
func (s *session) readPlan(path string) (*tracker.Study, error) {
	text, err := readSmall(path)
	if err != nil {
		return nil, err
	}
	study, problems := checkPlan(path, text)
	if hasErrors(problems) {
		s.printProblems(problems)
		return nil, s.judgeProblems(path, problems)
	}
	study.Text = text
	problems = append(problems, foreseen(path, &study, design.LayOut(&study))...)
	if n := warnings(problems); n > 0 {
		s.warn("%s about this plan: see soaktag check %s", wording.Plural(n, "warning"), path)
	}
	return &study, nil
}

// deal returns the specimens, dealt from the seed or taken from a table, and
// the words for where they came from.
func (s *session) deal(table string, study *tracker.Study) ([]tracker.Specimen, string, error) {
	if table == "" {
		return design.Allocate(study), fmt.Sprintf("seed %d", study.Seed), nil
	}
	f, err := openNamed(table, "its columns are name, adhesive, treatment, board; without --specimens the plan's are dealt")
	if err != nil {
		return nil, "", err
	}
	defer f.Close()
	specimens, warnings, err := tables.ReadSpecimens(table, f, study)
	for _, w := range warnings {
		s.warn("%s", w)
	}
	return specimens, filepath.Base(table), refused(err)
}

// reportBegun says what was dealt, without saying which code is which
// adhesive: breaking is blind unless the plan says otherwise.
func (s *session) reportBegun(path string, study *tracker.Study, begun intake.Beginning) {
	n := len(begun.Dealt)
	s.print("%s: %s", path, study.Title)
	if n > 0 {
		s.print("\n%s, %s to %s, by %s", wording.Plural(n, "specimen"), begun.Dealt[0].Code, begun.Dealt[n-1].Code, begun.DealtBy)
	}
	if b := len(study.Wood.Boards); b > 0 {
		s.print(", on %s", wording.Plural(b, "board"))
	}
	s.print("\n")
	s.hint("print the labels: soaktag labels --study %s --stock %q --out labels.pdf", wording.ShellWord(path), study.SuggestedStock())
}
