package wording

import (
	"testing"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/design"
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
	none := TrialShown(tracker.TrialReading{Read: 0, Of: 10, Wet: 24 * time.Hour})
	if none != "0 of 10 read after 1 d under water: that shows nothing in favour of such labels" {
		t.Error(none)
	}
}

// Ten that went in and were all lost are the worst outcome, not one to come.
func TestATrialThatLostAllItsLabels(t *testing.T) {
	trial := tracker.LabelTrial{Stock: "roll 50x25"}
	for range 10 {
		trial.Labels = append(trial.Labels, tracker.TrialLabel{Spells: []tracker.Spell{{}}, End: tracker.Lost})
	}
	want := "label trial of roll 50x25: 10 of 10 went under water and were lost or damaged, none was ever read wet"
	if got := Trial(trial, time.UTC); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
