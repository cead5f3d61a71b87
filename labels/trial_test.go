package labels

import (
	"strings"
	"testing"
)

// The keyboards are those of card_test.go and code_test.go.
func TestParseTrial(t *testing.T) {
	for text, want := range map[string]struct {
		trial   Trial
		scanned bool
	}{
		".TRIAL03": {3, true}, ".trial03\r\n": {3, true}, " .TRIAL9999": {9999, true},
		":TRIQLà\"": {3, true}, ":TRIQL&à": {10, true}, ":TRIQLà-": {6, true},
		"TRIAL-03": {3, false}, "trial 3": {3, false}, "Trial #12": {12, false}, "trial3": {3, false}, "TRIAL_03": {3, false},
	} {
		if got, scanned, ok := ParseTrial(text); !ok || got != want.trial || scanned != want.scanned {
			t.Errorf("ParseTrial(%q) = %d, %v, %v; want %+v", text, got, scanned, ok, want)
		}
	}
	for _, text := range []string{"", ".", "trial", ".TRIAL", ".TRIAL0", "trial 0", ".TRIAL12345", ".TRIAL-3", "trial -", "trials 3",
		"HBR-017-J", ".TRIALX", "trial 3 4x", "trial 3 4", "trial3 4", ".YES", "17", strings.Repeat("trial", 30)} {
		if got, _, ok := ParseTrial(text); ok {
			t.Errorf("ParseTrial(%q) = %d", text, got)
		}
	}
}

// No trial label reads as a specimen, on whatever keyboard, nor as a card; and
// its symbol holds what a code's holds.
func TestTrialIsNoSpecimen(t *testing.T) {
	for trial := Trial(1); trial <= MaxTrial; trial++ {
		if got, scanned, ok := ParseTrial(trial.Symbol()); !ok || !scanned || got != trial {
			t.Fatalf("%s reads back as %d, %v, %v", trial.Symbol(), got, scanned, ok)
		}
		for _, text := range []string{trial.Symbol(), trial.String(), azerty(trial.Symbol()), azerty(trial.String()), qwertz(trial.Symbol())} {
			if c, err := Parse(text); err == nil {
				t.Fatalf("%q reads as %s", text, c)
			}
			if _, _, ok := ParseSerial(text); ok {
				t.Fatalf("%q reads as a serial", text)
			}
			if c, ok := ParseCard(text, testStages); ok {
				t.Fatalf("%q reads as the card %s", text, c.Title())
			}
		}
		if len(trial.Symbol()) > 10 || strings.Trim(trial.Symbol(), alphabet+mark) != "" {
			t.Fatalf("%s does not fit the smallest symbol", trial.Symbol())
		}
	}
}
