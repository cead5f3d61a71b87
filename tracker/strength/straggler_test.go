package strength_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// stretched is an interval of soaked, or of dry specimens, with what each has in
// excess of a week.
func stretched(interval, treatment string, lives []*tracker.Life, by ...time.Duration) tracker.IntervalDrift {
	week := schedule.Planned{Kind: schedule.Target, Length: 7 * schedule.Day, Early: 12 * time.Hour, Late: 12 * time.Hour}
	d := tracker.IntervalDrift{Interval: interval, Planned: week}
	for i, l := range lives {
		s := tracker.SpecimenDrift{Of: l.Specimen, Planned: week, Known: true, Done: true, Verdict: schedule.Within}
		if i < len(by) {
			s.Drift = by[i]
		}
		if s.Lo, s.Hi = week.Length+s.Drift, week.Length+s.Drift; s.Drift > week.Late {
			s.Verdict = schedule.Late
		}
		d.Specimens = append(d.Specimens, s)
	}
	return d.Within(loft(), treatment)
}

// One of three that soaked a month instead of a week, or is 15 h 45 min older than
// its partner, weighs like any other: it is named, and numbers stand with and
// without it. The sums are done by hand.
func TestOneStragglerIsShownWithAndWithout(t *testing.T) {
	dry := each(t, 1, "RF", "dry", "12", "15", "12.6") // mean 13.2, without the second 12.3
	wet := each(t, 11, "RF", "soaked", "9", "9.3", "6")
	other := each(t, 21, "UF", "soaked", "5", "5.1", "5.2")
	soak := stretched("soak", "soaked", slices.Concat(wet, other), 0, 0, 22*schedule.Day)
	age := stretched("age", "dry", dry, 0, 15*time.Hour+45*time.Minute)
	r := strength.Sums(loft(), slices.Concat(dry, wet, other), []tracker.IntervalDrift{soak, age})

	g := r.Groups[slices.IndexFunc(r.Groups, func(g strength.Group) bool { return g.Adhesive == "RF" && g.Treatment == "soaked" })]
	if len(g.Stragglers) != 1 || !near(g.MeanSurvivors, 8.1) || !near(g.MeanWithout, 9.15) {
		t.Errorf("%+v, mean %v, without %v", g.Stragglers, *g.MeanSurvivors, g.MeanWithout)
	}
	ret := r.Retention[slices.IndexFunc(r.Retention, func(x strength.Retention) bool { return x.Adhesive == "RF" })]
	if !ret.Comparable || len(ret.Stragglers) != 2 || !near(ret.Ratio, 8.1/13.2) || !near(ret.RatioWithout, 9.15/12.3) {
		t.Errorf("%+v", ret)
	}
	for _, c := range r.Comparisons {
		if !c.Comparable || c.Others[0].Way != strength.NoStrays {
			t.Errorf("%s, %s: %v, %+v", c.A, c.B, reasons(c.Reasons), c.Others)
		}
	}
	want := "soaked: RF: HBR-013-R soak 29 d instead of 7 d; mean 8.1 MPa with it, 9.2 MPa without"
	if !slices.Contains(findings(r), want) {
		t.Errorf("%q is not in\n%s", want, strings.Join(findings(r), "\n"))
	}
}

// A group of controls of which most are of another age keeps no number.
func TestMostOfAnotherAge(t *testing.T) {
	dry, wet := each(t, 1, "RF", "dry", "12", "15", "12.6"), each(t, 11, "RF", "soaked", "9", "9.3", "6")
	age := stretched("age", "dry", dry, 0, 16*time.Hour, 17*time.Hour)
	ret := strength.Sums(loft(), slices.Concat(dry, wet), []tracker.IntervalDrift{age}).Retention[0]
	if ret.Comparable || !slices.Contains(reasons(ret.Reasons), "2 of 3 RF dry were broken at another age than their soaked partners") {
		t.Errorf("comparable %v: %q", ret.Comparable, reasons(ret.Reasons))
	}
}

func near(x *float64, want float64) bool { return x != nil && math.Abs(*x-want) < 1e-9 }
