package main

import (
	"errors"
	"fmt"
	"io"
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
	"soaktag/tracker/worksheet"
)

// mostTrials is how many trial labels are printed at once.
const mostTrials = 500

func trialFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "material", Usage: "what they are made of and printed with, `WORDS` such as \"white film, laser\": a trial speaks for no other"},
		&cli.BoolFlag{Name: "trial", Usage: "labels to try under water on offcuts; without --stock and --out: what the trial shows"},
		&cli.IntFlag{Name: "count", Value: 10, Usage: "with --trial: `N` labels"},
	}
}

// labelTrial prints trial labels or, without a stock and a file, says what
// those printed before have shown.
func (s *session) labelTrial(c *cli.Context) error {
	if c.NArg() > 0 || c.Bool("cards") || len(c.StringSlice("who")) > 0 {
		return usageError("labels --trial prints trial labels only; print the others, and the cards, without --trial")
	}
	if !c.IsSet("stock") && !c.IsSet("out") {
		return s.showTrials(c)
	}
	job, err := s.emptyJob(c)
	if err != nil {
		return err
	}
	if n := c.Int("count"); n < 1 || n > mostTrials {
		return usageError("--count %d: want 1 to %d trial labels", n, mostTrials)
	}
	return s.printTrial(c, job)
}

func (s *session) printTrial(c *cli.Context, job sheet.Job) (err error) {
	db, rec, err := s.open(c)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	job.Title, job.Ruler = rec.Study().Title, worksheet.Ruler(rec.Study().Units)
	if job.Labels, err = trialLabels(rec, c.Int("count")); err != nil {
		return err
	}
	out := c.String("out")
	if err := writeNew(out, func(w io.Writer) error { return printFault(sheet.Write(w, job)) }); err != nil {
		return err
	}
	if _, err := db.Record(s.trialIssues(c, job)...); err != nil {
		return fmt.Errorf("%s is written, but its issue is not recorded: %w", out, err)
	}
	s.print("%s: %s, %s\n", out, trialNames(trialsOf(job)), stockText(c, job.Stock))
	s.hint("print at 100 %%, not fitted to the page, as you will the others; stick them on offcuts and scan each once")
	s.hint("then put them under water with your baths: soaktag log trial --stage immersion")
	return nil
}

// trialLabels are the next n trial labels of the study.
func trialLabels(rec *tracker.Record, n int) ([]sheet.Label, error) {
	last := labels.Trial(0)
	for _, e := range rec.Events() {
		if t, ok := tracker.TrialOf(e.Code); ok && e.Kind == tracker.Issued {
			last = max(last, t)
		}
	}
	if int(last)+n > labels.MaxTrial {
		return nil, usageError("%d trial labels are printed already, and %d is the last number there is", last, labels.MaxTrial)
	}
	var out []sheet.Label
	for t := last + 1; t <= last+labels.Trial(n); t++ {
		if card, ok := labels.ParseCard(t.Symbol(), stageNames(rec)); ok {
			return nil, usageError("the stage %q of this plan has the card %s, as a trial label has: name the stage otherwise", card.Name, t.Symbol())
		}
		out = append(out, sheet.Label{Trial: t})
	}
	return out, nil
}

func trialsOf(job sheet.Job) []labels.Trial {
	var out []labels.Trial
	for _, l := range job.Labels {
		out = append(out, l.Trial)
	}
	return out
}

// trialIssues are the events that say which trial labels were printed.
func (s *session) trialIssues(c *cli.Context, job sheet.Job) []tracker.Event {
	now := s.now().UTC().Truncate(time.Millisecond)
	var events []tracker.Event
	for _, t := range trialsOf(job) {
		events = append(events, tracker.Event{
			ID: uuid.NewString(), Kind: tracker.Issued, At: schedule.At(now), Recorded: now, Via: "typed",
			By: c.String("by"), Reason: c.String("reason"), Code: t.Symbol(), Issue: 1, Values: stockValue(c, job.Stock),
		})
	}
	return events
}

// stockText names what labels are printed on, so that two prints on the same
// have the same name.
func stockText(c *cli.Context, stock labels.Stock) string {
	text := stock.String()
	if material := strings.ToLower(strings.Join(strings.Fields(c.String("material")), " ")); material != "" {
		text += ", " + material
	}
	return text
}

func stockValue(c *cli.Context, stock labels.Stock) []tracker.Value {
	return []tracker.Value{{Name: tracker.StockValue, Text: stockText(c, stock)}}
}

// trialNames lists trial labels, those that follow each other by first and last.
func trialNames(all []labels.Trial) string {
	var parts []string
	for i := 0; i < len(all); {
		last := i
		for last+1 < len(all) && all[last+1] == all[last]+1 {
			last++
		}
		switch last - i {
		case 0:
			parts = append(parts, all[i].String())
		case 1:
			parts = append(parts, all[i].String(), all[last].String())
		default:
			parts = append(parts, all[i].String()+" to "+all[last].String())
		}
		i = last + 1
	}
	return strings.Join(parts, ", ")
}

// trialSubject reads a text that means a trial label, or all of them; false
// when it means something else, or is a name of the person's own.
func trialSubject(rec *tracker.Record, text string) (subject, bool) {
	if strings.EqualFold(strings.TrimSpace(text), "trial") && !isOwnName(rec, text) {
		return subject{text: text, allTrials: true}, true
	}
	t, seen, ok := labels.ParseTrial(text)
	if !ok || !seen && isOwnName(rec, text) {
		return subject{}, false
	}
	return subject{text: text, code: t.Symbol(), trial: true, byEye: !seen}, true
}

// isOwnName reports whether a text is the name of a specimen or of a bath.
func isOwnName(rec *tracker.Record, text string) bool {
	if _, ok := readBath(rec, text); ok {
		return true
	}
	_, _, err := rec.Resolve(text)
	return err == nil
}

// splitTrials takes the trial labels out of the words of a command: "trial"
// for all, "trial 3" or TRIAL-03 for one, and trial 3 5 for several. A number
// behind the word never means a specimen.
func splitTrials(rec *tracker.Record, words []string) (trials []subject, rest []string) {
	for len(words) > 0 {
		sub, ok := trialSubject(rec, words[0])
		word := words[0]
		words = words[1:]
		if !ok {
			rest = append(rest, word)
			continue
		}
		numbered := false
		for sub.allTrials && len(words) > 0 && isNumber(words[0]) {
			if one, ok := trialSubject(rec, "trial "+words[0]); ok {
				trials, numbered = append(trials, one), true
			}
			words = words[1:]
		}
		if !numbered {
			trials = append(trials, sub)
		}
	}
	return trials, rest
}

func isNumber(word string) bool {
	_, err := strconv.ParseUint(word, 10, 32)
	return err == nil
}

func printedTrials(rec *tracker.Record) []labels.Trial {
	var all []labels.Trial
	for _, t := range rec.Trials() {
		for _, l := range t.Labels {
			all = append(all, l.Trial)
		}
	}
	slices.Sort(all)
	return all
}
