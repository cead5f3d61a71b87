package strength

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// commonFindings names the intervals that drifted for all together.
func commonFindings(drift []tracker.IntervalDrift) (out []string) {
	for _, d := range drift {
		if !d.Judged || d.Interval == age || !d.CommonVerdict.Outside() {
			continue
		}
		if alikeIn(d) {
			out = append(out, fmt.Sprintf("%s: %s for all instead of %s: the ranking stands, the name of the plan does not",
				d.Interval, inDays(d.Planned.Length+d.Common), inDays(d.Planned.Length)))
			continue
		}
		out = append(out, fmt.Sprintf("%s: not as planned (%s) and not alike: the groups went from %s to %s", d.Interval,
			inDays(d.Planned.Length), inDays(shortest(d)), inDays(longest(d))))
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

// inDays writes long lengths as days to the tenth.
func inDays(d time.Duration) string {
	if d < 48*time.Hour {
		return schedule.Short(d)
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", d.Hours()/24), ".0") + " d"
}

func (w wording) name(key string) string { return nameOf(w.study, key) }

func (w wording) names(keys []string) (out []string) {
	for _, k := range keys {
		out = append(out, w.name(k))
	}
	return out
}

func (w wording) group(key string) Group {
	return w.groups[slices.IndexFunc(w.groups, func(g Group) bool { return g.Adhesive == key })]
}

// list joins names as a sentence does.
func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// inWords writes small counts as a sentence does.
func inWords(n int) string {
	words := []string{"none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}
