package main

import (
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
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
	s.printLines("", wording.TrialWhole(t, zone))
	if in, _ := t.InWater(); in == 0 && len(t.Readings()) == 0 {
		s.hint("scan each once, then put them under water: soaktag log trial --stage immersion")
	}
	if open, _ := t.Unanswered(); len(open) > 0 {
		s.hint("scan %s too, or say what is wrong: soaktag log trial %d --stage damaged (or lost, if the label is gone)", open[0], open[0])
	}
}
