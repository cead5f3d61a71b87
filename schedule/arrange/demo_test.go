package arrange

import (
	"fmt"
	"strings"
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

// ExampleArrange lays the oar loft out: glued on Saturday, unclamped on Sunday,
// immersed a fortnight later and lifted and broken the Sunday after that, the
// dry controls on the same day as their soaked partners.
func ExampleArrange() {
	answer, err := Arrange(oarLoft())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range byDay(answer.Calendar) {
		fmt.Println(line)
	}
	fmt.Println(answer.Notes[0])
	// Output:
	// Sat 21 Feb  glue-up        48 bonds  13:30 to 17:26
	// Sun 22 Feb  clamp removal  48 bonds  13:15 to 16:59
	// Sun  8 Mar  immersion      24 bonds  09:00 to 12:39
	// Sun 15 Mar  lift-out       24 bonds  09:00 to 13:39
	// Sun 15 Mar  break          48 bonds  09:04 to 14:29
	// 24 lifted together wait 2 h 24 min, limit 30 min: lift in lots of five
}

// byDay sums the tasks of a day and a stage up.
func byDay(c Calendar) []string {
	type key struct {
		day   string
		stage schedule.Stage
	}
	var order []key
	bonds, from, to := map[key]int{}, map[key]time.Time{}, map[key]time.Time{}
	for _, t := range c.Tasks {
		k := key{t.From.Format("Mon _2 Jan"), t.Stage}
		if bonds[k] == 0 {
			order, from[k] = append(order, k), t.From
		}
		bonds[k] += t.Bonds
		to[k] = t.To
	}
	var lines []string
	for _, k := range order {
		lines = append(lines, fmt.Sprintf("%s  %-13s  %d bonds  %s to %s", k.day, k.stage, bonds[k], from[k].Format("15:04"), to[k].Format("15:04")))
	}
	return lines
}

// threeHundred is a study of 300 bonds: fifteen adhesives, ten soaked and ten
// dry of each.
func threeHundred(clamps int) Problem {
	p := oarLoft()
	p.Clamps, p.Groups = clamps, nil
	for i := range 15 {
		p.Groups = append(p.Groups, pairOf(fmt.Sprint("A", i+1), fmt.Sprint("B", i+1), 10)...)
	}
	return p
}

// BenchmarkArrange300 has enough clamps once, and once not, so that changes of
// the problem are weighed as well.
func BenchmarkArrange300(b *testing.B) {
	for _, clamps := range []int{48, 72} {
		b.Run(fmt.Sprintf("clamps=%d", clamps), func(b *testing.B) {
			for b.Loop() {
				if _, err := Arrange(threeHundred(clamps)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestThreeHundred: what is arranged one sitting after the other keeps every
// limit too, and a problem without a calendar gets one with the change named.
func TestThreeHundred(t *testing.T) {
	p := threeHundred(72)
	a, err := Arrange(p)
	if err != nil || !a.Found || a.Relaxed != nil {
		t.Fatalf("with 72 clamps: found %v, %v, %v", a.Found, a.Why, err)
	}
	if broken := verify(p, a.Calendar); len(broken) > 0 {
		t.Errorf("with 72 clamps: %q", broken)
	}
	a, err = Arrange(threeHundred(48))
	if err != nil || a.Found || a.Relaxed == nil || !strings.HasPrefix(a.Relaxed.Text, "with ") {
		t.Fatalf("with 48 clamps: found %v, %+v, %v", a.Found, a.Relaxed, err)
	}
	if broken := verify(a.Relaxed.Problem, a.Calendar); len(broken) > 0 {
		t.Errorf("%s: %q", a.Relaxed.Text, broken)
	}
}
