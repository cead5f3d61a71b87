package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"text/tabwriter"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
)

func (s *session) checkCommand() *cli.Command {
	return &cli.Command{
		Name:        "check",
		Usage:       "say what a plan means and what will go wrong, before the first cut",
		ArgsUsage:   "FILE.toml",
		Description: "Exit status: 0 nothing to say, 2 errors, 3 warnings.",
		Flags:       []cli.Flag{jsonFlag()},
		Action:      s.check,
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
	study, problems := plan.Check(path, text)
	broken := hasErrors(problems)
	if !broken {
		problems = append(problems, foreseen(path, &study)...)
	}
	if c.Bool("json") {
		err = s.json(c, "check/1", checkAnswer(&study, problems, broken))
	} else {
		s.printCheck(&study, problems, broken)
	}
	return errors.Join(err, s.judgeProblems(path, problems))
}

// judgeProblems turns problems into the exit status they ask for.
func (s *session) judgeProblems(path string, problems []plan.Problem) error {
	if n := countLevel(problems, plan.Error); n > 0 {
		return usageError("%s is refused: %s", filepath.Base(path), plural(n, "error"))
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
	f, err := os.Open(path)
	if err != nil {
		return nil, refused(err)
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
func foreseen(path string, study *tracker.Study) []plan.Problem {
	var problems []plan.Problem
	for _, w := range append(design.Foresee(study), outsideHours(study, study.Dates())...) {
		problems = append(problems, plan.Problem{
			File: path, Level: string(w.Level), Rule: w.Rule, Key: w.Key, Text: w.Text, Hint: w.Hint,
		})
	}
	return problems
}

// printCheck prints problems to stderr and what the plan means to stdout.
func (s *session) printCheck(study *tracker.Study, problems []plan.Problem, broken bool) {
	s.printProblems(problems)
	if broken {
		return
	}
	s.print("%s\n", study.Title)
	s.printMatrix(study)
	s.printSchedules(study)
	s.printCuts(study)
	s.printMasses(study)
	s.printTelling(study)
	s.printDates(study)
	s.printCautions(study)
}

func (s *session) printProblems(problems []plan.Problem) {
	for _, p := range problems {
		where := p.File
		if p.Line > 0 {
			where = fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
		}
		fmt.Fprintf(s.stderr, "soaktag: %s: %s: %s\n", p.Level, where, p.Text)
		if p.Hint != "" {
			s.hint("%s", p.Hint)
		}
	}
}

// table prints rows in columns under a heading.
func (s *session) table(heading string, rows func(w io.Writer)) {
	s.print("\n%s\n", heading)
	w := tabwriter.NewWriter(s.stdout, 0, 0, 2, ' ', 0)
	rows(w)
	w.Flush()
}

func (s *session) printMatrix(study *tracker.Study) {
	heading := fmt.Sprintf("%s (%s x %s", plural(specimenCount(study), "specimen"),
		plural(len(study.Adhesives), "adhesive"), plural(len(study.Treatments), "treatment"))
	if n := len(study.Wood.Boards); n > 0 {
		heading += ", on " + plural(n, "board")
	} else {
		heading += ", no boards: completely random"
	}
	s.table(heading+")", func(w io.Writer) {
		fmt.Fprint(w, "  \t")
		for _, t := range study.Treatments {
			fmt.Fprintf(w, "\t%s", t.Key)
		}
		fmt.Fprintln(w)
		for _, a := range study.Adhesives {
			fmt.Fprintf(w, "  %s\t%s", a.Key, a.Name)
			for _, t := range study.Treatments {
				fmt.Fprintf(w, "\t%d", design.Replicates(a, t))
			}
			fmt.Fprintln(w)
		}
	})
}

func (s *session) printCuts(study *tracker.Study) {
	u := unitsOf(study)
	heading := fmt.Sprintf("Cut (two blanks a specimen, %.3g %% spare, kerf %s, %s lost at the ends of each board)",
		study.Wood.Spare.Percent(), u.length(study.Wood.Kerf), u.length(design.Trim))
	s.table(heading, func(w io.Writer) {
		for _, c := range design.CutList(study) {
			name := "  in all"
			if c.Board != "" {
				name = "  board " + c.Board
			}
			fmt.Fprintf(w, "%s\t%d blanks", name, c.Blanks)
			if c.Length > 0 {
				fmt.Fprintf(w, "\t%d across\t%s of %s\tgives up to %s", c.Across, u.lengthNumber(c.Length), u.length(c.Of), plural(c.Fits, "blank"))
			}
			fmt.Fprintln(w)
		}
	})
}

func (s *session) printMasses(study *tracker.Study) {
	s.table("Adhesive (bond area x spread; mix half again for waste)", func(w io.Writer) {
		for _, m := range design.AdhesiveMasses(study) {
			if m.Net == 0 {
				fmt.Fprintf(w, "  %s\t%s\tno spread given\n", m.Adhesive, plural(m.Bonds, "bond"))
				continue
			}
			fmt.Fprintf(w, "  %s\t%s\t%.1f g\tmix %.1f g\n", m.Adhesive, plural(m.Bonds, "bond"), m.Net.G(), m.Mix.G())
		}
	})
}

func (s *session) printDates(study *tracker.Study) {
	dates := study.Dates()
	if len(dates) == 0 {
		return
	}
	s.table("Dates, if the first glue-up is on time", func(w io.Writer) {
		for _, d := range dates {
			fmt.Fprintf(w, "  %s\t%s\t%s\n", d.Treatment, d.Stage, timeText(d.At, study.Zone))
		}
	})
}

func (s *session) printCautions(study *tracker.Study) {
	s.table("Cautions (the usual ones only: local codes and licensed practice come first)", func(w io.Writer) {
		for _, c := range cautions(study) {
			fmt.Fprintf(w, "  %s\t%s\n", c.stage, c.text)
		}
	})
}

// specimenCount is how many specimens the plan wants in all.
func specimenCount(study *tracker.Study) int {
	n := 0
	for _, a := range study.Adhesives {
		for _, t := range study.Treatments {
			n += design.Replicates(a, t)
		}
	}
	return n
}

// plural writes a number with its noun: "1 error", "2 errors".
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// outsideHours warns of dates at which nobody is in the shop. Package plan
// looks at the first glue-up itself.
func outsideHours(study *tracker.Study, dates []tracker.PlannedDate) []design.Warning {
	var warnings []design.Warning
	for _, d := range dates {
		if d.Stage != schedule.GlueUp && !study.Manned(d.At) {
			text := fmt.Sprintf("%s of %s would fall on %s, outside the shop's hours", d.Stage, d.Treatment, timeText(d.At, study.Zone))
			warnings = append(warnings, design.Warning{Rule: "shop-closed", Key: "shop.hours", Level: design.Warns, Text: text, Hint: "move the first glue-up, or make an interval longer or shorter"})
		}
	}
	return warnings
}
