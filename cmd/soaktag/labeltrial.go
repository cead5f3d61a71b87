package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

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
	if err := intake.TrialCount(c.Int("count")); err != nil {
		return desked(err)
	}
	return s.printed(c, job, func(rec *tracker.Record) ([]intake.Issue, error) { return intake.NextTrials(rec, c.Int("count")) })
}

func (s *session) reportTrial(c *cli.Context, job *sheet.Job) {
	var trials []labels.Trial
	for _, l := range job.Labels {
		trials = append(trials, l.Trial)
	}
	s.print("%s: %s, %s\n", c.String("out"), intake.TrialNames(trials), stockOf(c, job))
	s.hint("print at 100 %%, not fitted to the page, as you will the others; stick them on offcuts and scan each once")
	s.hint("then put them under water with your baths: soaktag log trial --stage immersion")
}
