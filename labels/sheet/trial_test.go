package sheet

import (
	"bytes"
	"testing"

	"soaktag/labels"
)

// A trial label must be laid out as the labels of specimens are: it stands for
// them. The same stock gives it a symbol of the same size, and letters of at
// least the least height.
func TestTrialLabelsAreLikeTheOthers(t *testing.T) {
	var trials []Label
	for n := labels.Trial(1); n <= 12; n++ {
		trials = append(trials, Label{Trial: n})
	}
	for _, text := range labels.Stocks() {
		s := stock(t, text)
		real, err := fitOf(t, s, dealt(12))
		if err != nil {
			continue
		}
		trial, err := fitOf(t, s, trials)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		}
		if trial.module < real.module-0.011 || trial.caps < leastCaps {
			t.Errorf("%s: module %.2f for a trial, %.2f for a specimen, letters %.1f", text, trial.module, real.module, trial.caps)
		}
	}
	job := Job{Stock: stock(t, "roll 50x25"), Labels: trials}
	if !bytes.Equal(pdf(t, job), pdf(t, job)) {
		t.Error("the same job gives other bytes")
	}
	if got := job.texts(); len(got) != 12 || got[2] != ".TRIAL03" {
		t.Errorf("symbols %q", got)
	}
	if err := Write(&bytes.Buffer{}, Job{Stock: job.Stock, Labels: []Label{{Trial: labels.MaxTrial + 1}}}); err == nil {
		t.Error("a number past the last is printed")
	}
}

func fitOf(t *testing.T, s labels.Stock, all []Label) (fit, error) {
	t.Helper()
	job := Job{Stock: s, Labels: all}
	symbols, err := encode(job.texts())
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPaper(s.PageWidth, s.PageHeight, "", job.Date)
	if err != nil {
		t.Fatal(err)
	}
	return p.fit(s, job.halves(), symbols)
}
