package main

import (
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// showTrials says what the trials of the study show, round by round.
func (s *session) showTrials(c *cli.Context) error {
	view, err := s.look(c)
	if err != nil {
		return err
	}
	trials := view.rec.Trials()
	if len(trials) == 0 {
		s.print("no trial labels were printed in this study\n")
		s.hint("put ten under water before the specimens: soaktag labels --trial --stock STOCK --out trial.pdf")
	}
	for _, t := range trials {
		s.showTrial(t, view.zone())
	}
	return nil
}

func (s *session) showTrial(t tracker.LabelTrial, zone *time.Location) {
	var all []labels.Trial
	for _, l := range t.Labels {
		all = append(all, l.Trial)
	}
	s.print("Label trial of %s: %s\n", orUnknown(t.Stock, "a stock not named"), intake.TrialNames(all))
	rounds := t.Readings()
	for _, r := range rounds {
		s.print("  %s  %s\n", wording.Time(r.From, zone), wording.TrialShown(r))
	}
	s.showEnded(t)
	if in, since := t.InWater(); in == 0 && len(rounds) == 0 {
		s.hint("scan each once, then put them under water: soaktag log trial --stage immersion")
	} else if in > 0 {
		s.print("  %d under water since %s%s\n", in, wording.Time(since, zone), wording.TrialNext(t, since, zone))
	}
	s.showSilent(t)
}

// showEnded names the labels that somebody said not to read, or took out.
func (s *session) showEnded(t tracker.LabelTrial) {
	for _, l := range t.Labels {
		if l.End == "" {
			continue
		}
		text := string(l.End)
		if l.EndNote != "" {
			text += " (" + l.EndNote + ")"
		}
		s.print("  %s %s\n", l.Trial, text)
	}
}

// showSilent asks for the labels that the last wet round left out, and that
// count as not read until somebody answers.
func (s *session) showSilent(t tracker.LabelTrial) {
	open, byEye := t.Unanswered()
	if len(byEye) > 0 {
		s.print("  read by eye only, and counted as not read: %s\n", intake.TrialNames(byEye))
	}
	if len(open) > 0 {
		s.print("  not answered for, and counted as not read: %s\n", intake.TrialNames(open))
		s.hint("scan %s too, or say what is wrong: soaktag log trial %d --stage damaged (or lost, if the label is gone)", open[0], open[0])
	}
}
