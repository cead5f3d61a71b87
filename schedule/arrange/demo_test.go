package arrange

import (
	"fmt"
	"testing"
	"time"

	"soaktag/schedule"
)

// planned reads a length of a test's own plan.
func planned(text string) schedule.Planned {
	p, err := schedule.ParsePlanned(text)
	if err != nil {
		panic(err)
	}
	return p
}

func london() *time.Location {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		panic(err)
	}
	return zone
}

const minute = time.Minute

// pairOf is one adhesive with soaked bonds and their dry controls, in the
// intervals of the oar loft; the minutes are invented.
func pairOf(key, bath string, bonds int) []Group {
	clamp := schedule.Interval{Name: "clamp", From: schedule.GlueUp, To: schedule.ClampRemoval, Planned: planned("24 h +/- 2 h")}
	soaked := Group{
		Key: key + " soaked", Bonds: bonds, PotLife: 40 * minute,
		Steps: []Step{{schedule.GlueUp, 4 * minute, ""}, {schedule.ClampRemoval, minute, ""}, {schedule.Immersion, minute, bath},
			{schedule.LiftOut, minute, bath}, {schedule.Break, 6 * minute, ""}},
		Intervals: []schedule.Interval{clamp,
			{Name: "cure", From: schedule.ClampRemoval, To: schedule.Immersion, Planned: planned("14 d +/- 1 d")},
			{Name: "soak", From: schedule.Immersion, To: schedule.LiftOut, Planned: planned("7 d +/- 4 h")},
			{Name: "wet hold", From: schedule.LiftOut, To: schedule.Break, Planned: planned("at most 30 min")}},
	}
	dry := Group{
		Key: key + " dry", Bonds: bonds, PotLife: 40 * minute, Follows: soaked.Key,
		Steps: []Step{{schedule.GlueUp, 4 * minute, ""}, {schedule.ClampRemoval, minute, ""}, {schedule.Break, 6 * minute, ""}},
		Intervals: []schedule.Interval{clamp,
			{Name: "age", From: schedule.ClampRemoval, To: schedule.Break, Planned: planned("as soaked +/- 1 d")}},
	}
	return []Group{soaked, dry}
}

// oarLoft is the example study: six adhesives, four soaked bonds of each and
// four dry, 48 clamps, and a loft that is open on four days of the week.
func oarLoft() Problem {
	p := Problem{
		Zone: london(), Start: time.Date(2026, 2, 21, 13, 30, 0, 0, london()), Clamps: 48,
		Hours: []Hours{{time.Tuesday, 9 * 60, 21*60 + 30}, {time.Friday, 9 * 60, 13 * 60}, {time.Saturday, 9 * 60, 21 * 60}, {time.Sunday, 9 * 60, 18 * 60}},
	}
	for i, key := range []string{"CAS", "RF", "UF", "PVA", "EPX", "PUR"} {
		p.Groups = append(p.Groups, pairOf(key, fmt.Sprintf("B%d", i+1), 4)...)
	}
	return p
}

func TestTMP(t *testing.T) {
	t0 := time.Now()
	a, err := Arrange(oarLoft())
	t.Log(time.Since(t0), err, a.Found, a.Exact, a.Calendar.Quarters, a.Calendar.Sittings, a.Calendar.Last, a.Notes, a.Why, a.Relaxed)
	for _, task := range a.Calendar.Tasks {
		t.Log(task, task.Bonds, task.To.Format("15:04"))
	}
	t.Log(Verify(oarLoft(), a.Calendar))
}

func three100(clamps int) Problem {
	p := oarLoft()
	p.Clamps, p.Groups = clamps, nil
	for i := range 15 {
		p.Groups = append(p.Groups, pairOf(fmt.Sprint("A", i), "B", 10)...)
	}
	return p
}

func BenchmarkArrange300(b *testing.B) {
	for _, clamps := range []int{20, 48, 70, 300} {
		b.Run(fmt.Sprint(clamps), func(b *testing.B) {
			p := three100(clamps)
			for b.Loop() {
				a, _ := Arrange(p)
				b.ReportMetric(float64(a.Calendar.Sittings), "sittings")
				b.ReportMetric(float64(a.Calendar.Quarters), "quarters")
				if !a.Found {
					b.Log(a.Why)
				}
				if a.Relaxed != nil {
					b.Log(a.Relaxed.Text)
				}
				b.Log(a.Calendar.Last)
			}
		})
	}
}
