package design

import (
	"math"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

// TrialConfidence is how sure the share is that a label trial is said to show.
const TrialConfidence = 0.95

// TrialShown is the share of such labels, in whole percent rounded down, of
// which a round of reading shows that at least so many would read: the exact
// one-sided lower limit (Clopper and Pearson 1934), which for all of n is
// 0.05^(1/n).
func TrialShown(r tracker.TrialReading) float64 {
	if r.Read == r.Of {
		return math.Floor(100 * stat.SurvivorsShown(r.Of, TrialConfidence))
	}
	failing, err := stat.ProportionAtMost(r.Of-r.Read, r.Of, TrialConfidence)
	if err != nil {
		return 0
	}
	return math.Floor(100 * (1 - failing))
}
