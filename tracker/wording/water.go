package wording

import (
	"fmt"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
)

// WhyWater is why a bath's water is changed, and by whose practice. EN 84 was read;
// it is made for leaching.
const WhyWater = "standing water goes foul, each bath at its own pace; common practice, no published source for bonds " +
	"(EN 84, made for leaching: nine changes in 14 d)"

// WaterAsks is what a change of water asks for.
const WaterAsks = "change all of the water, as warm as it was, in every bath alike"

// WaterCommand is what records that the water of baths was changed.
func WaterCommand(baths []string) string {
	if len(baths) == 0 {
		baths = []string{"NAME"}
	}
	return "soaktag log \"bath " + strings.Join(baths, "\" \"bath ") + "\" --stage \"" + string(tracker.WaterChange) + "\""
}

// bathsOf names the baths of groups.
func bathsOf(groups ...tracker.DueGroup) (baths []string) {
	for _, g := range groups {
		for _, d := range g.Items {
			baths = append(baths, d.Bath)
		}
	}
	return baths
}

// WaterOf says of which baths the water is to be changed.
func WaterOf(groups ...tracker.DueGroup) string { return WaterOfBaths(bathsOf(groups...)...) }

// WaterOfBaths is WaterOf by the names of the baths.
func WaterOfBaths(baths ...string) string {
	if len(baths) == 1 {
		return string(tracker.WaterChange) + " of bath " + baths[0]
	}
	return string(tracker.WaterChange) + " of baths " + strings.Join(baths, ", ")
}

// WaterWork is what a change of water asks for, and how to record it.
func WaterWork(groups ...tracker.DueGroup) string {
	return WaterAsks + ": " + WaterCommand(bathsOf(groups...))
}

// WaterChanges says how often the longest soak of a plan wants fresh water, when
// and why; empty where it does not.
func WaterChanges(study *tracker.Study) string {
	long := design.LongestSoak(study)
	when := `at the end of days 1 and 2, then every 36 h; with water_change = "36 h" in the treatment, due and calendar ask for it`
	switch {
	case long.Changes == 0 || long.Every == 0 && long.Changes < 2:
		return ""
	case long.Every > 0:
		when = "every " + schedule.Short(long.Every)
	}
	return fmt.Sprintf("Water changed %s, %s. Why: %s.", times(long.Changes), when, WhyWater)
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}
