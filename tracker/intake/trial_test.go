package intake

import (
	"strings"
	"testing"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/plan"
)

func TestTrialNames(t *testing.T) {
	for want, all := range map[string][]labels.Trial{
		"": nil, "TRIAL-03": {3}, "TRIAL-03, TRIAL-04": {3, 4}, "TRIAL-01 to TRIAL-10": {1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, "TRIAL-01, TRIAL-03 to TRIAL-05": {1, 3, 4, 5},
	} {
		if got := TrialNames(all); got != want {
			t.Errorf("%v: %q, want %q", all, got, want)
		}
	}
}

// What stands behind "trial" is a trial label, except that a person's own names
// and baths come first.
func TestSplitTrials(t *testing.T) {
	rec := tracker.NewRecord(plan.Read)
	named := tracker.Specimen{Code: labels.New("TRF", 17), Name: "trial 7", Adhesive: "CAS"}
	if _, err := rec.Add(tracker.Event{ID: "b", Kind: tracker.Begun, Plan: []byte(smallPlan), Dealt: []tracker.Specimen{named}}); err != nil {
		t.Fatal(err)
	}
	for words, want := range map[string]string{
		"trial":             "trial |",
		"Trial|3|5|x":       "TRIAL-03 TRIAL-05 | x",
		"17|trial|17":       "TRIAL-17 | 17",
		"TRIAL-03|.TRIAL04": "TRIAL-03 TRIAL-04 |",
		"trial 3|trial 7":   "TRIAL-03 | trial 7",
		"TRF-017-X|bath B2": "| TRF-017-X bath B2",
	} {
		trials, rest := splitTrials(rec, strings.Split(words, "|"))
		var shown []string
		for _, sub := range trials {
			shown = append(shown, sub.String())
		}
		got := strings.TrimSpace(strings.Join(shown, " ") + " | " + strings.Join(rest, " "))
		if got != want {
			t.Errorf("%s: %q, want %q", words, got, want)
		}
	}
}
