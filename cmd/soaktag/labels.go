package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/store"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

func (s *session) labelsCommand() *cli.Command {
	return &cli.Command{
		Name:        "labels",
		Usage:       "print two labels a specimen, and the cards, as PDF",
		ArgsUsage:   "[CODE[/HALF]...]",
		Description: "  " + strings.Join(labels.Stocks(), "\n  "),
		Flags: append(trialFlags(),
			studyFlag(), replaceFlag(), proofFlag(),
			&cli.StringFlag{Name: "stock", Usage: "page and labels, `STOCK` such as \"a4 3x9 63.5x29.6\" or \"roll 50x25\" (else that of the plan, or of the last print)"},
			&cli.StringFlag{Name: "out", Usage: "the PDF to write, `FILE.pdf`"},
			&cli.BoolFlag{Name: "new", Usage: "only labels never printed, or relabelled since"},
			&cli.IntFlag{Name: "start-at", Usage: "first free place `N` on a sheet begun before, from 1"},
			&cli.StringFlag{Name: "nudge", Usage: "move everything `X,Y` mm right and down"},
			&cli.BoolFlag{Name: "cards", Usage: "the cards"},
			&cli.BoolFlag{Name: "no-cards", Usage: "no cards"},
			&cli.StringSliceFlag{Name: "who", Usage: "a WHO card for `NAME`; may be given again"},
			&cli.StringFlag{Name: "by", Usage: "`WHO` printed them"},
			&cli.StringFlag{Name: "reason", Usage: "`WHY` labels are printed again"},
		),
		Action: s.labels,
	}
}

func (s *session) labels(c *cli.Context) (err error) {
	if c.IsSet("proof") {
		return s.proof(c)
	}
	if c.Bool("trial") {
		return s.labelTrial(c)
	}
	if c.IsSet("count") {
		return usageError("--count is for --trial; without it every specimen gets its labels")
	}
	job, err := s.emptyJob(c)
	if err != nil {
		return err
	}
	return s.printed(c, job, func(rec *tracker.Record) ([]intake.Issue, error) {
		if wantsCards(c) {
			job.Cards = worksheet.Cards(rec, c.StringSlice("who"), intake.Baths(rec))
		}
		return s.wantedLabels(c, rec)
	})
}

// printed prints the labels chosen as a PDF, and only then records their issue.
func (s *session) printed(c *cli.Context, job *sheet.Job, choose func(*tracker.Record) ([]intake.Issue, error)) (err error) {
	db, rec, err := s.open(c)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	if job.Stock, err = stockAsked(c, rec); err != nil {
		return err
	}
	issues, err := choose(rec)
	if err != nil {
		return desked(err)
	}
	worksheet.AddLabels(job, rec.Study(), issues)
	out := c.String("out")
	if err := writeOut(c, pdfFile, out, func(w io.Writer) error { return printFault(sheet.Write(w, *job)) }); err != nil {
		return err
	}
	if err := s.recordPrint(c, db, rec, intake.Print{Labels: issues, Stock: stockOf(c, job)}); err != nil {
		return fmt.Errorf("%s is written, but its issue is not recorded: %w", out, err)
	}
	s.reportLabels(c, job, intake.Again(issues))
	return nil
}

func (s *session) recordPrint(c *cli.Context, db *store.DB, rec *tracker.Record, form intake.Print) error {
	e := intake.Now(s.now())
	e.By, e.Reason = whoRecords(c, rec.Study()), c.String("reason")
	desk, err := intake.Open(db, e, s.now)
	if err != nil {
		return err
	}
	_, err = desk.Take(form)
	return err
}

// stockAsked is --stock, else that of the plan or of the last labels printed.
func stockAsked(c *cli.Context, rec *tracker.Record) (labels.Stock, error) {
	text := rec.LabelStock()
	if c.IsSet("stock") {
		text = c.String("stock")
	} else if text == "" {
		return labels.Stock{}, withHint(usageError("labels needs --stock STOCK: nothing was printed yet, and the plan names none"),
			"such as --stock %q; soaktag labels --help lists others", rec.SuggestedStock())
	}
	stock, err := labels.ParseStock(text)
	return stock, refused(err)
}

// stockOf names what a job is printed on.
func stockOf(c *cli.Context, job *sheet.Job) string {
	return intake.StockName(job.Stock, c.String("material"))
}

// printFault tells a job that cannot be printed, which is refused, from a
// symbol that does not read back or a disk that is full, which is a failure.
func printFault(err error) error {
	var symbols *sheet.SymbolsError
	var disk *fs.PathError
	if errors.As(err, &symbols) || errors.As(err, &disk) {
		return err
	}
	return refused(err)
}

// emptyJob reads the flags that say how to print.
func (s *session) emptyJob(c *cli.Context) (job *sheet.Job, err error) {
	job = &sheet.Job{}
	if c.String("out") == "" {
		return job, usageError("labels needs --out FILE.pdf")
	}
	if job.StartAt = c.Int("start-at"); c.IsSet("start-at") && job.StartAt < 1 {
		return job, usageError("--start-at %d: places count from 1", job.StartAt)
	}
	if job.NudgeX, job.NudgeY, err = parseNudge(c.String("nudge")); err != nil {
		return job, err
	}
	if job.Date, err = s.stamp(); err != nil {
		return job, err
	}
	return job, mayWrite(c, pdfFile, c.String("out"))
}

// parseNudge reads "X,Y" in mm; empty text is no nudge.
func parseNudge(text string) (x, y float64, err error) {
	if text == "" {
		return 0, 0, nil
	}
	left, right, _ := strings.Cut(text, ",")
	x, errX := strconv.ParseFloat(strings.TrimSpace(left), 64)
	y, errY := strconv.ParseFloat(strings.TrimSpace(right), 64)
	if errX != nil || errY != nil {
		return 0, 0, usageError("--nudge %q: want two numbers of mm, such as 0.5,-1", text)
	}
	return x, y, nil
}

// wantedLabels are those of the codes named, else, unless only the cards are
// asked for, those of every specimen: of some that were printed already it asks.
func (s *session) wantedLabels(c *cli.Context, rec *tracker.Record) (issues []intake.Issue, err error) {
	if c.NArg() > 0 || c.Bool("cards") {
		var unused []int
		issues, unused, err = intake.IssuesOf(rec, c.Args().Slice(), s.now())
		if len(unused) > 0 {
			s.say("%s", wording.NotUsed(unused))
		}
	} else if issues = intake.AllIssues(rec); !c.Bool("new") && !c.IsSet("reason") {
		err = s.mayReprint(issues)
	}
	if err == nil && c.Bool("new") {
		return intake.NewOf(issues)
	}
	return issues, err
}

// mayReprint asks at a terminal before labels on specimens become old ones.
func (s *session) mayReprint(issues []intake.Issue) error {
	again := wording.Reprinted(intake.Again(issues), len(issues))
	if again == "" || !s.terminal {
		return nil
	}
	answer, err := s.ask(again + "; print all of them again? [y/N]")
	if err == nil && !isYes(answer) {
		return usageError("nothing printed")
	}
	return err
}

func wantsCards(c *cli.Context) bool {
	return !c.Bool("no-cards") && (c.Bool("cards") || c.NArg() == 0 && !c.Bool("new"))
}

func (s *session) reportLabels(c *cli.Context, job *sheet.Job, again int) {
	if c.Bool("trial") {
		s.reportTrial(c, job)
		return
	}
	var parts []string
	if n := len(job.Labels); n > 0 {
		parts = append(parts, wording.Plural(n, "label"))
	}
	if n := len(job.Cards); n > 0 {
		parts = append(parts, wording.Plural(n, "card"))
	}
	s.print("%s: %s, %s\n", c.String("out"), strings.Join(parts, ", "), job.Stock)
	if again > 0 {
		s.say("%s", wording.Reprinted(again, len(job.Labels)))
	}
	s.hint("print at 100 %%, not fitted to the page, and measure the scale bar")
}
