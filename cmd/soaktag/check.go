package main

import (
	"errors"
	"io"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/learnt"
	"soaktag/tracker/plan"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

func (s *session) checkCommand() *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "say what a plan means and what will go wrong, before the first cut",
		ArgsUsage: "FILE.toml",
		Flags: []cli.Flag{jsonFlag(), &cli.BoolFlag{Name: "full", Usage: "every table behind the summary: cuts, masses, loads, dates, cautions"},
			&cli.StringSliceFlag{Name: "from", Usage: "plan by what `OLD.soaktag` measured; it is only read, and more may be named"}},
		Action: s.check,
	}
}

func (s *session) check(c *cli.Context) error {
	path, err := oneFile(c, "FILE.toml")
	if err != nil {
		return err
	}
	text, err := readSmall(path)
	if err != nil {
		return err
	}
	study, problems := checkPlan(path, text)
	broken := hasErrors(problems)
	var calendar design.Calendar
	var lessons *learnt.Lessons
	if !broken {
		if lessons, err = s.lessons(c, &study); err != nil {
			return err
		}
		calendar = design.LayOut(&study)
		problems = append(problems, foreseen(path, &study, calendar)...)
	}
	switch {
	case c.Bool("json"):
		err = s.json(c, "check/1", tables.NewCheck(&study, problems, calendar, broken).With(lessons))
	default:
		s.printProblems(problems)
		if !broken {
			s.printSummary(path, &study, calendar, lessons, c.Bool("full"))
		}
	}
	return errors.Join(err, s.judgeProblems(path, problems))
}

// checkPlan reads a plan that is about to be begun or put in force.
func checkPlan(path string, text []byte) (tracker.Study, []plan.Problem) {
	study, problems := plan.Check(path, text)
	if !hasErrors(problems) {
		problems = append(problems, plan.Names(path, &study)...)
	}
	return study, problems
}

// judgeProblems turns problems into the exit status they ask for.
func (s *session) judgeProblems(path string, problems []plan.Problem) error {
	if n := countLevel(problems, plan.Error); n > 0 {
		return usageError("%s is refused: %s", filepath.Base(path), wording.Plural(n, "error"))
	}
	s.attention = s.attention || countLevel(problems, plan.Warning) > 0
	return nil
}

func hasErrors(problems []plan.Problem) bool { return countLevel(problems, plan.Error) > 0 }

func countLevel(problems []plan.Problem, level string) int {
	n := 0
	for _, p := range problems {
		if p.Level == level {
			n++
		}
	}
	return n
}

// largestPlan is far more than a plan written by hand can have.
const largestPlan = 4 << 20

// readSmall reads a plan file; something far larger is no plan.
func readSmall(path string) ([]byte, error) {
	f, err := openNamed(path, "soaktag outline my-plan.toml writes a plan to start from")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, largestPlan+1))
	if err != nil {
		return nil, refused(err)
	}
	if len(text) > largestPlan {
		return nil, usageError("%s is larger than %d MB and is no plan", path, largestPlan>>20)
	}
	return text, nil
}

// foreseen returns what design foresees as problems of the plan file.
func foreseen(path string, study *tracker.Study, calendar design.Calendar) []plan.Problem {
	var problems []plan.Problem
	for _, f := range append(design.Foresee(study, calendar), calendar.Foresee(study)...) {
		text, hint, more := wording.Foreseen(f, study.Units, study.Zone)
		problems = append(problems, plan.Problem{File: path, Level: string(f.Level), Rule: f.Rule, Key: f.Key, Text: text, Hint: hint, More: more})
	}
	return problems
}

// printProblems writes what is wrong and what will go wrong: an error with its
// hint below, the rest in one line each, said once where it holds in several
// places. What the summary says as well is left to it.
func (s *session) printProblems(problems []plan.Problem) {
	for _, r := range plan.Remarks(problems) {
		s.say("%s: %s", r.Level, r.Sentence())
		if r.Level == plan.Error && r.Hint != "" {
			s.hint("%s", r.Advice())
		}
	}
}

// warnings counts those that check says.
func warnings(problems []plan.Problem) (n int) {
	for _, r := range plan.Remarks(problems) {
		if r.Level == plan.Warning {
			n++
		}
	}
	return n
}
