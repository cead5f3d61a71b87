package wording

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A DriftSaid is how far one interval is off the plan, for a screen and a page.
type DriftSaid struct {
	Head   string
	Rows   [][]string // a group each, below DriftHeadings; none where nothing can be judged yet
	Except string     // what limits the table; else empty
	Strays []string   // specimens that left the plan, a line each
}

// DriftHeadings stand above the rows of a DriftSaid; those set to the right begin
// with ">".
var DriftHeadings = []string{"adhesive", "treatment", ">n", ">median lasted", ">drift", ">against the rest", ""}

// Drifted words how far an interval is off the plan.
func Drifted(iv tracker.IntervalDrift) DriftSaid {
	d := DriftSaid{Head: fmt.Sprintf("%s, planned %s%s: %s", iv.Interval, iv.Planned, originalPlan(iv), commonDrift(iv))}
	for _, g := range iv.Groups {
		if iv.Judged {
			d.Rows = append(d.Rows, driftRow(iv, g))
		}
	}
	if len(d.Rows) > 0 && iv.SoakedLonger() {
		// it qualifies "not treated like the rest": a longer soak may have cost strength, and cannot have helped
		d.Except = "Except: a group that soaked longer and still won has won, unless it goes on curing in water; soaktag results says so beside the pair."
	}
	for _, sp := range iv.Strays() {
		d.Strays = append(d.Strays, Name(sp.Of)+": "+Lasted(sp))
	}
	return d
}

func driftRow(iv tracker.IntervalDrift, g tracker.GroupDrift) []string {
	beside := "-"
	if g.Judged {
		beside = Signed(g.Differential)
	}
	return []string{g.Adhesive, g.Treatment, strconv.Itoa(g.N), ToMinute(g.Length), Signed(g.Drift), beside, GroupDrift(iv, g)}
}

// NoDrift is said where nothing can have drifted yet.
func NoDrift(now time.Time, zone *time.Location) string {
	return "no planned interval has begun by " + Time(now, zone)
}

// originalPlan puts the plan that the study began with beside the one in force.
func originalPlan(iv tracker.IntervalDrift) string {
	switch {
	case iv.Mixed:
		return " at first, amended while some had begun: all against that first plan"
	case iv.Original.Kind == schedule.None:
		return " (originally not planned)"
	case iv.Original != iv.Planned:
		return fmt.Sprintf(" (originally %s)", iv.Original)
	}
	return ""
}

// commonDrift is what moved all groups together, and what that means.
func commonDrift(iv tracker.IntervalDrift) string {
	ended := 0
	for _, g := range iv.Groups {
		ended += g.N
	}
	switch {
	case ended == 0:
		return strconv.Itoa(len(iv.Specimens)) + " running"
	case !iv.Judged:
		return strconv.Itoa(ended) + " of " + strconv.Itoa(len(iv.Specimens)) + " ended, " + extremes(iv)
	}
	text := "common drift " + Signed(iv.Common)
	switch iv.CommonVerdict {
	case schedule.Early, schedule.Late:
		text += ", outside"
		if iv.Planned.Kind == schedule.Target {
			text += ": the ranking stands, but call it " + schedule.Short(iv.Planned.Length+iv.Common)
		}
	case schedule.Within:
		text += ", within"
	case schedule.CannotTell:
		text += ", cannot tell"
	}
	return text
}

// extremes gives the shortest and the longest that a limit was held against.
func extremes(iv tracker.IntervalDrift) string {
	var all []time.Duration
	for _, sp := range iv.Specimens {
		if sp.Done {
			all = append(all, sp.Actual())
		}
	}
	return schedule.Short(slices.Min(all)) + " to " + schedule.Short(slices.Max(all))
}

// GroupDrift says whether a group was treated like the rest, where it was not or
// that cannot be told, and names those that its median hides.
func GroupDrift(iv tracker.IntervalDrift, g tracker.GroupDrift) string {
	var parts []string
	switch {
	case g.Verdict.Outside():
		parts = append(parts, "outside: not treated like the rest")
	case g.Verdict == schedule.CannotTell:
		parts = append(parts, "cannot tell")
	}
	if alone := iv.Stragglers(g.Adhesive, g.Treatment); len(alone) > 0 {
		parts = append(parts, LengthsOfStragglers(alone))
	}
	return strings.Join(parts, "; ")
}

// Lasted says how long an interval of one specimen lasted, and how far off the
// plan that was.
func Lasted(sp tracker.SpecimenDrift) string {
	text := sp.Verdict.String() + ", "
	switch {
	case sp.Hi == schedule.Unbounded:
		text += "lasted at least " + ToMinute(sp.Lo)
	case sp.Lo != sp.Hi:
		text += "lasted " + ToMinute(sp.Lo) + " to " + ToMinute(sp.Hi)
	default:
		text += "lasted " + ToMinute(sp.Lo)
	}
	if sp.Known {
		text += ", " + Signed(sp.Drift)
	}
	if !sp.Done {
		text += " and running"
	}
	if off, ok := sp.DriftOriginal(); ok && sp.Original != sp.Planned {
		text += ", against the original plan " + Signed(off)
	}
	return text
}
