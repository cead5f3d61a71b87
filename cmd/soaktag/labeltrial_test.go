package main

import (
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
	"soaktag/tracker/wording"
)

// All of n show 0.05^(1/n), the exact bound; the percentages are those commonly
// printed. 8 of 10 show 0.4931: at that share 8 or more come out in 5 % of trials,
// the definition of Clopper and Pearson (1934).
func TestShownShare(t *testing.T) {
	for _, test := range []struct {
		read, of int
		want     float64
	}{{1, 1, 5}, {4, 4, 47}, {10, 10, 74}, {20, 20, 86}, {59, 59, 95}, {8, 10, 49}, {0, 10, 0}} {
		if got := design.TrialShown(tracker.TrialReading{Read: test.read, Of: test.of}); got != test.want {
			t.Errorf("%d of %d show %g %%, want %g", test.read, test.of, got, test.want)
		}
	}
	none := wording.TrialShown(tracker.TrialReading{Read: 0, Of: 10, Wet: 24 * time.Hour})
	if none != "0 of 10 read after 1 d under water: that shows nothing in favour of such labels" {
		t.Error(none)
	}
}

func TestTrialNames(t *testing.T) {
	for want, all := range map[string][]labels.Trial{
		"": nil, "TRIAL-03": {3}, "TRIAL-03, TRIAL-04": {3, 4}, "TRIAL-01 to TRIAL-10": {1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, "TRIAL-01, TRIAL-03 to TRIAL-05": {1, 3, 4, 5},
	} {
		if got := trialNames(all); got != want {
			t.Errorf("%v: %q, want %q", all, got, want)
		}
	}
}

// What stands behind "trial" is a trial label, except that a person's own names
// and baths come first.
func TestSplitTrials(t *testing.T) {
	text, err := demoFiles.ReadFile("demo/oar-loft.toml")
	if err != nil {
		t.Fatal(err)
	}
	rec := tracker.NewRecord(plan.Read)
	code := labels.New("HBR", 17)
	if _, err := rec.Add(tracker.Event{ID: "b", Kind: tracker.Begun, Plan: text, Dealt: []tracker.Specimen{{Code: code, Name: "trial 7", Adhesive: "CAS"}}}); err != nil {
		t.Fatal(err)
	}
	for words, want := range map[string]string{
		"trial":             "trial |",
		"Trial|3|5|x":       "TRIAL-03 TRIAL-05 | x",
		"17|trial|17":       "TRIAL-17 | 17",
		"TRIAL-03|.TRIAL04": "TRIAL-03 TRIAL-04 |",
		"trial 3|trial 7":   "TRIAL-03 | trial 7",
		"HBR-017-J|bath B2": "| HBR-017-J bath B2",
	} {
		trials, rest := splitTrials(rec, strings.Split(words, "|"))
		var shown []string
		for _, sub := range trials {
			shown = append(shown, sub.shown())
		}
		got := strings.TrimSpace(strings.Join(shown, " ") + " | " + strings.Join(rest, " "))
		if got != want {
			t.Errorf("%s: %q, want %q", words, got, want)
		}
	}
}

// Ten that went in and were all lost are the worst outcome, not one to come.
func TestATrialThatLostAllItsLabels(t *testing.T) {
	trial := tracker.LabelTrial{Stock: "roll 50x25"}
	for range 10 {
		trial.Labels = append(trial.Labels, tracker.TrialLabel{Spells: []tracker.Spell{{}}, End: tracker.Lost})
	}
	want := "label trial of roll 50x25: 10 of 10 went under water and were lost or damaged, none was ever read wet"
	if got := wording.Trial(trial, time.UTC); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
