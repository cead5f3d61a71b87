package strength

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// commonFindings names the intervals that drifted for all together.
func commonFindings(drift []tracker.IntervalDrift) (out []Finding) {
	for _, d := range drift {
		if !d.Judged || d.Interval == schedule.Age || !d.CommonVerdict.Outside() {
			continue
		}
		f := Finding{Kind: OtherLength, Interval: d.Interval, Planned: d.Planned.Length, Length: d.Planned.Length + d.Common}
		if !alikeIn(d) {
			f.Kind, f.Length, f.Longest = NotAlike, shortest(d), longest(d)
		}
		out = append(out, f)
	}
	return out
}

// alikeIn reports whether all groups kept together.
func alikeIn(d tracker.IntervalDrift) bool {
	return !slices.ContainsFunc(d.Groups, func(g tracker.GroupDrift) bool { return g.Verdict.Outside() })
}

func shortest(d tracker.IntervalDrift) time.Duration {
	return slices.MinFunc(d.Groups, byLength).Length
}

func longest(d tracker.IntervalDrift) time.Duration {
	return slices.MaxFunc(d.Groups, byLength).Length
}

func byLength(a, b tracker.GroupDrift) int { return cmp.Compare(a.Length, b.Length) }
