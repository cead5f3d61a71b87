package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// One of several planned is "so far"; one planned is one. A specimen that was
// broken in another state than its three fellows takes no comparison with it.
func TestResultsOneSpecimenSoFar(t *testing.T) {
	study := &tracker.Study{Treatments: []tracker.Treatment{{Key: "dry"}}}
	x := 9.0
	broke := strength.Specimen{Adhesive: "CAS", Treatment: "dry", Outcome: strength.Broke, Bound: stat.Exact, ShearMPa: &x, Rig: "press", State: "dry"}
	waits := strength.Specimen{Adhesive: "CAS", Treatment: "dry", Outcome: strength.NoneYet, State: "dry"}
	wet := strength.Group{Adhesive: "CAS", Treatment: "dry", Rig: "press", State: "wet", N: 3}
	single := strength.Group{Adhesive: "CAS", Treatment: "dry", Rig: "press", State: "dry", N: 1}
	for want, specimens := range map[string][]strength.Specimen{
		"One specimen each: ": {broke}, "One specimen each so far: ": {broke, waits}} {
		var out bytes.Buffer
		(&session{stdout: &out}).printBoxes(wording.BoxesOf(study, strength.Report{Specimens: specimens, Groups: []strength.Group{single}}))
		if got := out.String(); !strings.HasPrefix(got, want) || strings.Contains(got, "1 of 1") != (len(specimens) == 1) {
			t.Errorf("want %q, printed:\n%s", want, got)
		}
	}
	var out bytes.Buffer
	(&session{stdout: &out}).printFull(study, strength.Report{Groups: []strength.Group{wet, single}, Specimens: []strength.Specimen{broke}})
	if !strings.Contains(out.String(), "\n\nAlone on their rig or in their state") {
		t.Errorf("the boxes do not stand apart from the table:\n%s", out.String())
	}
}

// Nine adhesives, dry and soaked, three of each: two screens of 24 lines, some of
// 100 columns, even where every group has a straggler and some were not treated alike.
func TestResultsFitTwoScreens(t *testing.T) {
	week := schedule.Planned{Kind: schedule.Target, Length: 7 * schedule.Day, Early: 4 * time.Hour, Late: 4 * time.Hour}
	study := &tracker.Study{Treatments: []tracker.Treatment{{Key: "dry", Control: true}, {Key: "soaked", Soaked: true}}, Rule: tracker.Limits{WoodLimitedAt: 0.8}}
	var lives []*tracker.Life
	drift := tracker.IntervalDrift{Interval: "soak", Planned: week}
	for i, key := range strings.Fields("AAA BBB CCC DDD EEE FFF GGG HHH III") {
		study.Adhesives = append(study.Adhesives, tracker.Adhesive{Key: key, Name: "glue, " + strings.ToLower(key) + " and hardener"})
		for j := range 6 {
			l := brokenAt(len(lives)+1, key, []string{"dry", "soaked"}[j%2], float64(20-2*i)-float64(j)/7)
			lives = append(lives, l)
			if j%2 == 1 {
				drift.Specimens = append(drift.Specimens, soakedFor(l, week, []time.Duration{0, 30 * time.Hour, 22 * schedule.Day}[max(j/2, i/3%2)]))
			}
		}
	}
	r := strength.Sums(study, lives, []tracker.IntervalDrift{drift.Within(study, "soaked")})
	var out bytes.Buffer
	(&session{stdout: &out}).printBrief(study, r)
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	wide := slices.MaxFunc(lines, func(a, b string) int { return len(a) - len(b) })
	if len(lines) > 48 || len(wide) > 104 || strings.Count(out.String(), "\nAAA ") != 2 {
		t.Errorf("%d lines, the widest of %d columns:\n%s", len(lines), len(wide), out.String())
	}
}

func brokenAt(serial int, adhesive, treatment string, kn float64) *tracker.Life {
	return &tracker.Life{State: treatment, BondLength: 0.04, BondWidth: 0.045, Nominal: true,
		Specimen: tracker.Specimen{Code: labels.New("HBR", serial), Adhesive: adhesive, Treatment: treatment},
		Tries:    []tracker.TryAt{{Try: tracker.Try{Rig: "press", How: tracker.Separated, Reading: fmt.Sprintf("%.2f kN", kn)}}}}
}

func soakedFor(l *tracker.Life, planned schedule.Planned, late time.Duration) tracker.SpecimenDrift {
	d := tracker.SpecimenDrift{Of: l.Specimen, Planned: planned, Lo: planned.Length + late, Hi: planned.Length + late, Drift: late, Known: true, Done: true,
		Verdict: schedule.Within}
	if late > planned.Late {
		d.Verdict = schedule.Late
	}
	return d
}

// A group that soaked longer and still won keeps its comparison, and the
// screen says why beside the numbers.
func TestResultsSayWhyALongerSoakStands(t *testing.T) {
	ratio, low, high := 1.5, 1.2, 1.9
	const why = "EPX soaked longer (+8 h) and still won: the comparison stands"
	won := strength.Reason{Kind: strength.SoakedLonger, Who: strength.Party{Adhesive: "EPX"}, Length: 8 * time.Hour}
	var out bytes.Buffer
	s := &session{stdout: &out}
	s.printComparisons(strength.Report{Comparisons: []strength.Comparison{{Treatment: "soaked", A: "EPX", B: "PVA", Ratio: &ratio,
		SureLow: &low, SureHigh: &high, ToldApart: true, Sure: true, Comparable: true, Reasons: []strength.Reason{won}}}})
	if got := out.String(); !strings.Contains(got, "EPX and PVA, ratio 1.50 (1.20 to 1.90), "+why+"\n") || strings.Contains(got, "Not comparable") {
		t.Errorf("printed:\n%s", got)
	}
}

// A t interval of very few can begin below 0, where no strength is.
func TestResultsBelowZero(t *testing.T) {
	for low, want := range map[float64]string{-3: "0* to 9.00", 0: "0.00 to 9.00", 1: "1.00 to 9.00"} {
		mean, high := 3.0, 9.0
		var out bytes.Buffer
		(&session{stdout: &out}).printGroups([]strength.Group{{Adhesive: "CAS", Treatment: "dry", N: 2, MeanSurvivors: &mean, Low: &low, High: &high}}, strength.Report{}, &tracker.Study{})
		if got := out.String(); !strings.Contains(got, " "+want+" ") || strings.Contains(got, "\n* The interval would begin below 0") != (low < 0) {
			t.Errorf("from %v, printed:\n%s", low, got)
		}
	}
}
