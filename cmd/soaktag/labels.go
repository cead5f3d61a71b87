package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

func (s *session) labelsCommand() *cli.Command {
	return &cli.Command{
		Name:      "labels",
		Usage:     "print two labels a specimen, and the cards, as PDF",
		ArgsUsage: "[CODE[/HALF]...]",
		Description: "Without CODE: every specimen's labels, then the cards for stages, baths, YES,\n" +
			"UNDO and WHO. With CODE or --cards: only those. A label printed again carries\n" +
			"its issue number in words, so the same command twice gives issue 1, then issue 2; the\n" +
			"same bytes come from the same state of the study. With --trial: labels to put under\n" +
			"water on offcuts before the specimens and to scan there, and what they have shown.\n" +
			"Stocks, in mm:\n  " + strings.Join(labels.Stocks(), "\n  "),
		Flags: append(trialFlags(),
			studyFlag(), proofFlag(),
			&cli.StringFlag{Name: "stock", Usage: "page and labels, `STOCK` such as \"a4 3x9 63.5x29.6\" or \"roll 50x25\""},
			&cli.StringFlag{Name: "out", Usage: "the PDF to write, `FILE.pdf`"},
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
	db, rec, err := s.open(c)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	job.Title, job.Ruler = rec.Study().Title, worksheet.Ruler(rec.Study().Units)
	if job.Labels, err = wantedLabels(c, rec); err != nil {
		return err
	}
	if wantsCards(c) {
		job.Cards = worksheet.Cards(rec, c.StringSlice("who"), baths(rec))
	}
	out := c.String("out")
	if err := writeNew(out, func(w io.Writer) error { return printFault(sheet.Write(w, job)) }); err != nil {
		return err
	}
	if _, err := db.Record(s.issues(c, job)...); err != nil {
		return fmt.Errorf("%s is written, but its issue is not recorded: %w", out, err)
	}
	s.reportLabels(out, job)
	return nil
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
func (s *session) emptyJob(c *cli.Context) (job sheet.Job, err error) {
	if c.String("out") == "" {
		return job, usageError("labels needs --out FILE.pdf")
	}
	if c.String("stock") == "" {
		return job, withHint(usageError("labels needs --stock STOCK"), "stocks: %s", strings.Join(labels.Stocks(), "; "))
	}
	if job.Stock, err = labels.ParseStock(c.String("stock")); err != nil {
		return job, refused(err)
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
	return job, mustBeNew(c.String("out"))
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
// asked for, those of every specimen.
func wantedLabels(c *cli.Context, rec *tracker.Record) ([]sheet.Label, error) {
	var out []sheet.Label
	for _, text := range c.Args().Slice() {
		specimen, half, err := rec.Resolve(text)
		if err != nil {
			return nil, refused(err)
		}
		out = append(out, labelsOf(rec, specimen, half)...)
	}
	if c.NArg() > 0 || c.Bool("cards") {
		return out, nil
	}
	for _, specimen := range rec.Specimens() {
		out = append(out, labelsOf(rec, specimen, 0)...)
	}
	return out, nil
}

// labelsOf are the labels of a specimen's half, or of both.
func labelsOf(rec *tracker.Record, specimen tracker.Specimen, half int) []sheet.Label {
	var out []sheet.Label
	for h := 1; h <= 2; h++ {
		if half == 0 || half == h {
			code := specimen.Code.Whole()
			code.Half = h
			out = append(out, sheet.Label{Code: code, Issue: nextIssue(rec, code)})
		}
	}
	return out
}

// nextIssue is the issue number that a print of the label gets: one more than
// the last print, or the number that amend relabel gave and nobody printed yet.
func nextIssue(rec *tracker.Record, code labels.Code) int {
	printed := 0
	for _, e := range rec.Events() {
		if e.Kind == tracker.Issued && e.Code == code.Whole().String() && e.Half == code.Half && !rec.Voided(e.ID) {
			printed = max(printed, e.Issue)
		}
	}
	if life := rec.Life(code.Whole()); life != nil {
		return max(printed+1, life.Issue[code.Half-1])
	}
	return printed + 1
}

func wantsCards(c *cli.Context) bool {
	return !c.Bool("no-cards") && (c.Bool("cards") || c.NArg() == 0)
}

// issues are the events that say which labels were printed, and on what.
func (s *session) issues(c *cli.Context, job sheet.Job) []tracker.Event {
	now := s.now().UTC().Truncate(time.Millisecond)
	var events []tracker.Event
	for _, l := range job.Labels {
		events = append(events, tracker.Event{
			ID: uuid.NewString(), Kind: tracker.Issued, At: schedule.At(now), Recorded: now, Via: "typed",
			By: c.String("by"), Reason: c.String("reason"),
			Code: l.Code.Whole().String(), Half: l.Code.Half, Issue: l.Issue, Values: stockValue(c, job.Stock),
		})
	}
	return events
}

func (s *session) reportLabels(out string, job sheet.Job) {
	var parts []string
	if n := len(job.Labels); n > 0 {
		parts = append(parts, wording.Plural(n, "label"))
	}
	if n := len(job.Cards); n > 0 {
		parts = append(parts, wording.Plural(n, "card"))
	}
	s.print("%s: %s, %s\n", out, strings.Join(parts, ", "), job.Stock)
	if slices.ContainsFunc(job.Labels, func(l sheet.Label) bool { return l.Issue > 1 }) {
		s.say("labels printed before carry their issue number; destroy the old ones")
	}
	s.hint("print at 100 %%, not fitted to the page, and measure the scale bar")
}
