package labels

import (
	"fmt"
	"strconv"
	"strings"
)

// A Trial is the number of a trial label: one of a few labels of a stock that
// are stuck on offcuts and put under water before the specimens are. It carries
// the mark of a card and five letters where a code has two or three, so that no
// way of reading it gives a specimen.
type Trial int

// MaxTrial is the largest number of a trial label: with it the symbol is full.
const MaxTrial = 9999

const trialWord = "TRIAL"

// Symbol returns what stands in the symbol: .TRIAL03, as long as a code.
func (t Trial) Symbol() string { return fmt.Sprintf("%s%s%02d", mark, trialWord, int(t)) }

// String returns the number as people read it on the label: TRIAL-03.
func (t Trial) String() string { return fmt.Sprintf("%s-%02d", trialWord, int(t)) }

// ParseTrial reads a trial label as scanned (.TRIAL03), or its plain words as
// typed (TRIAL-03, trial 3). Scanned tells which: the mark stands in the symbol
// only, so that text with it was read by a scanner and text without it by eye.
// Digits of the unshifted top row of a French keyboard are undone.
func ParseTrial(text string) (t Trial, scanned, ok bool) {
	clean := tidy(text)
	if french(clean) {
		clean = digits(allSix(clean))
	}
	body, scanned := strings.CutPrefix(clean, mark)
	if french, found := strings.CutPrefix(clean, ":"); found && !scanned { // the mark on a French keyboard
		body, scanned = azerty(french), true
	}
	number, found := strings.CutPrefix(body, trialWord)
	if !scanned {
		number = strings.TrimLeft(number, "-#_") // and a space, which tidy took
	}
	if words := strings.Fields(text); len(words) > 2 || len(words) == 2 && !strings.EqualFold(words[0], trialWord) {
		return 0, false, false // "trial 3 4" is not the 34th
	}
	if !found || len(number) > 4 || number == "" || strings.Trim(number, "0123456789") != "" {
		return 0, false, false
	}
	n, err := strconv.Atoi(number)
	return Trial(n), scanned, err == nil && n > 0
}
