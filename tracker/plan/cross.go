package plan

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// crossCheck looks at what only shows when the whole plan is read.
func crossCheck(root table, s *tracker.Study) {
	checkSomeInterval(root, s)
	checkComparable(root, s)
	checkAges(root, s)
	checkPasses(root, s)
	checkReplicates(root, s)
	checkFirst(root, s)
	checkRigs(root, s)
}

func (t table) enter(keys ...string) table {
	for _, key := range keys {
		values, ok := t.values[key].(map[string]any)
		t = table{r: t.r, path: join(t.path, key), name: t.child(key), values: values, absent: !ok}
	}
	return t
}

func checkSomeInterval(root table, s *tracker.Study) {
	n := len(s.Intervals)
	for _, a := range s.Adhesives {
		n += len(a.Intervals)
	}
	for _, tr := range s.Treatments {
		n += len(tr.Intervals)
	}
	if n == 0 && !root.has("interval") {
		root.here("interval", note{Error, "missing", "the plan has no interval", `add a table [interval] with clamp, cure and soak, such as cure = "14 d +/- 1 d"`})
	}
}

// checkComparable warns where there is nothing to compare.
func checkComparable(root table, s *tracker.Study) {
	if len(s.Adhesives) == 1 {
		root.enter("adhesive", s.Adhesives[0].Key).here("", note{Warning, "one-adhesive", "there is one adhesive and nothing to rank it against", "add another [adhesive.KEY]"})
	}
	if len(s.Treatments) == 0 {
		return
	}
	control := func(t tracker.Treatment) bool {
		return t.Control || unreadControl(root.enter("treatment", t.Key))
	}
	if !slices.ContainsFunc(s.Treatments, control) {
		root.enter("treatment").here("", note{Warning, "no-control", "no treatment is a control: retention cannot be told", "add [treatment.dry] with control = true"})
	}
	if !slices.ContainsFunc(s.Treatments, soaked) {
		root.enter("treatment").here("", note{Warning, "no-soaked", "no treatment is soaked", `add [treatment.soaked] and soak = "7 d +/- 4 h" in [interval]`})
	}
}

// unreadControl reports whether a treatment says something of control that is
// an error already: it may well be the control.
func unreadControl(t table) bool {
	value, said := t.values["control"]
	_, read := value.(bool)
	return said && !read
}

func soaked(t tracker.Treatment) bool { return t.Soaked }

// checkAges: a relative age follows a soaked partner, so there must be one.
func checkAges(root table, s *tracker.Study) {
	const hint = `write a length, "22 d +/- 1 d"`
	if age, ok := find(s.Intervals, schedule.Age); ok && age.Planned.Kind == schedule.AsPartner {
		root.enter("interval").at("age", note{Error, "age-not-of-treatment", "a relative age belongs in the treatment it is for", `write age = "as soaked +/- 1 d" in [treatment.dry]`})
	}
	for _, a := range s.Adhesives {
		if age, ok := find(a.Intervals, schedule.Age); ok && age.Planned.Kind == schedule.AsPartner {
			root.enter("adhesive", a.Key, "interval").at("age", note{Error, "age-not-of-treatment", "a relative age belongs in the treatment it is for", hint})
		}
	}
	if slices.ContainsFunc(s.Treatments, soaked) {
		return
	}
	for _, tr := range s.Treatments {
		if tr.Age.Kind == schedule.AsPartner {
			root.enter("treatment", tr.Key).at("age", note{Error, "age-no-partner", "no treatment is soaked whose age could be followed", hint})
		}
	}
}

// replicatesOf is how many specimens of an adhesive a treatment gets.
func replicatesOf(tr tracker.Treatment, a tracker.Adhesive) int {
	if n, ok := tr.ByAdhesive[a.Key]; ok {
		return n
	}
	if a.Replicates > 0 {
		return a.Replicates
	}
	return tr.Replicates
}

// checkReplicates: each board gives one of every adhesive and treatment, or
// the same multiple of one; one specimen of a kind can never be ranked.
func checkReplicates(root table, s *tracker.Study) {
	total := 0
	for _, tr := range s.Treatments {
		t := root.enter("treatment", tr.Key)
		var single, uneven []string
		for _, a := range s.Adhesives {
			n := replicatesOf(tr, a)
			total += n
			if n == 1 {
				single = append(single, a.Key)
			}
			if b := len(s.Wood.Boards); b > 0 && n%b != 0 {
				uneven = append(uneven, a.Key)
			}
		}
		reportReplicates(t, tr, len(s.Wood.Boards), single, uneven)
	}
	if total > most {
		root.enter("treatment").here("", note{Error, "too-many", fmt.Sprintf("the plan has %d specimens, more than %d", total, most), "make two studies of it"})
	}
}

func reportReplicates(t table, tr tracker.Treatment, boards int, single, uneven []string) {
	if len(uneven) > 0 {
		t.at("replicates", note{Warning, "boards-replicates", fmt.Sprintf("the replicates of %s in %q are no multiple of the %d boards: the blocks are not complete", strings.Join(uneven, ", "), tr.Key, boards), "plan the same number of every adhesive and treatment for each board"})
	}
	if len(single) > 0 {
		t.at("replicates", note{Warning, "cannot-rank", fmt.Sprintf("one specimen each of %s in %q: one cannot rank", strings.Join(single, ", "), tr.Key), "make at least three of each, better five"})
	}
}

// checkFirst warns when nobody is there for the first glue-up.
func checkFirst(root table, s *tracker.Study) {
	if s.FirstGlueUp.IsZero() || s.Manned(s.FirstGlueUp) {
		return
	}
	root.enter("study").at("first_glue_up", note{Warning, "shop-closed", fmt.Sprintf("the first glue-up, %s, is outside the shop's hours", s.FirstGlueUp.In(s.Zone).Format("Mon 2 Jan 15:04")), "choose a time within [shop] hours"})
}

// checkPasses compares the soak, which is the sum over all passes through the
// bath, with the passes of each treatment.
func checkPasses(root table, s *tracker.Study) {
	for _, tr := range s.Treatments {
		list := s.IntervalsOf(tracker.Specimen{Treatment: tr.Key})
		soak, ok := find(list, schedule.Soak)
		sum, passes := underWater(list)
		if !ok || tr.Protocol.Name != "" || passes < 2 || soak.Planned.Kind != schedule.Target {
			continue
		}
		if off := sum - soak.Planned.Length; off < -soak.Planned.Early || off > soak.Planned.Late {
			root.enter("treatment", tr.Key).here("", note{Warning, "soak-sum", fmt.Sprintf("the %d soaks of %q last %s together, and its soak is to be %s", passes, tr.Key, schedule.Exact(sum), soak.Planned),
				fmt.Sprintf("soak is the sum: write soak = %q in [treatment.%s.interval]", schedule.Exact(sum)+" +/- "+schedule.Exact(soak.Planned.Late), tr.Key)})
		}
	}
}

// underWater sums the passes that are intervals from an immersion to its
// lift-out with a target.
func underWater(list []schedule.Interval) (sum time.Duration, passes int) {
	for _, iv := range list {
		from, n := schedule.PassOf(iv.From)
		to, m := schedule.PassOf(iv.To)
		if iv.Name != schedule.Soak && from == schedule.Immersion && to == schedule.LiftOut && n == m && iv.Planned.Kind == schedule.Target {
			sum, passes = sum+iv.Planned.Length, passes+1
		}
	}
	return sum, passes
}

// checkRigs names what foresight would need and does not have.
func checkRigs(root table, s *tracker.Study) {
	if len(s.Rigs) == 0 && !root.has("rig") {
		root.here("rig", note{Hint, "no-rig", "the plan has no rig: whether it is strong enough cannot be told", "add a [[rig]] with ram_area, gauge and parts"})
	}
}
