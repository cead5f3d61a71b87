package arrange

import (
	"fmt"
	"math/rand/v2"
	"time"

	"soaktag/schedule"
)

// someStudy is a small study over the weekend on which the clocks change.
func someStudy(r *rand.Rand) Problem {
	p := Problem{
		Zone: london(), Start: time.Date(2026, 3, 27+r.IntN(2), 9, 0, 0, 0, london()),
		Spread: time.Duration(3+r.IntN(25)) * time.Hour, Grid: time.Hour, Clamps: r.IntN(4),
	}
	for day := time.Sunday; day <= time.Saturday; day++ {
		if opens := 9 + r.IntN(3); r.IntN(10) > 0 || day >= time.Friday {
			p.Hours = append(p.Hours, Hours{day, opens * 60, (opens+3+r.IntN(3))*60 + r.IntN(2)*30})
		}
	}
	if r.IntN(4) == 0 {
		p.Away = []Away{{p.Start.Add(30 * time.Hour), p.Start.Add(50 * time.Hour)}}
	}
	p.Groups = []Group{someGroup(r, "A", 1+r.IntN(3))}
	switch r.IntN(3) + 2*(p.Groups[0].Bonds/3) {
	case 0:
		p.Groups = append(p.Groups, someGroup(r, "B", 1+r.IntN(2)))
	case 1:
		p.Groups = append(p.Groups, control(r, p.Groups[0]))
	}
	return p
}

func someGroup(r *rand.Rand, key string, bonds int) Group {
	hours := func(n, plus int) schedule.Planned {
		return schedule.Planned{Kind: schedule.Target, Length: time.Duration(n) * time.Hour, Early: time.Duration(plus) * time.Hour, Late: time.Duration(plus+r.IntN(2)) * time.Hour}
	}
	g := Group{Key: key, Bonds: bonds, PotLife: time.Duration(r.IntN(3)*60) * minute}
	g.Steps = []Step{{schedule.GlueUp, time.Duration(20+r.IntN(3)*10) * minute, ""}, {schedule.ClampRemoval, 10 * minute, ""}, {schedule.Immersion, 5 * minute, "T"},
		{schedule.LiftOut, 10 * minute, "T"}, {schedule.Break, time.Duration(10+r.IntN(3)*10) * minute, ""}}
	g.Intervals = []schedule.Interval{
		{Name: "clamp", From: schedule.GlueUp, To: schedule.ClampRemoval, Planned: hours(22+r.IntN(4), 2+r.IntN(3))},
		{Name: "cure", From: schedule.ClampRemoval, To: schedule.Immersion, Planned: schedule.Planned{Kind: schedule.AtLeast, Length: time.Duration(r.IntN(20)) * time.Hour}},
		{Name: "soak", From: schedule.Immersion, To: schedule.LiftOut, Planned: hours(23+r.IntN(3), 1+r.IntN(3))},
		{Name: "wet hold", From: schedule.LiftOut, To: schedule.Break, Planned: schedule.Planned{Kind: schedule.AtMost, Length: time.Duration(30+r.IntN(4)*10) * minute}}}
	switch r.IntN(3) {
	case 0: // nothing soaked: a cure, and the break
		g.Steps = append(g.Steps[:2:2], g.Steps[4])
		g.Intervals = []schedule.Interval{g.Intervals[0], {Name: "age", From: schedule.ClampRemoval, To: schedule.Break, Planned: hours(24+r.IntN(24), 4)}}
	case 1: // all of it within a limit of its own
		g.Intervals = append(g.Intervals, schedule.Interval{Name: "age", From: schedule.ClampRemoval, To: schedule.Break, Planned: hours(46+r.IntN(6), 2)})
	default:
		g.Intervals[1].Planned = hours(22+r.IntN(4), 2)
	}
	return g
}

// control follows a group to its break.
func control(r *rand.Rand, of Group) Group {
	g := Group{Key: "C", Bonds: 1, Follows: of.Key, Steps: []Step{of.Steps[0], of.Steps[1], of.Steps[len(of.Steps)-1]}}
	g.Intervals = []schedule.Interval{of.Intervals[0], {Name: "age", From: schedule.ClampRemoval, To: schedule.Break,
		Planned: schedule.Planned{Kind: schedule.AsPartner, Early: 4 * time.Hour, Late: time.Duration(1+r.IntN(6)) * time.Hour}}}
	return g
}

// largerStudy is a study too large for searching through, or nearly so.
func largerStudy(r *rand.Rand) Problem {
	p := Problem{Zone: london(), Start: time.Date(2026, 3, 8+r.IntN(14), 8, 0, 0, 0, london()), Clamps: r.IntN(5) * 12, Grid: time.Duration(5+5*r.IntN(3)) * minute}
	for day := time.Sunday; day <= time.Saturday; day++ {
		if opens := (8+r.IntN(4))*60 + r.IntN(60); r.IntN(4) > 0 {
			p.Hours = append(p.Hours, Hours{day, opens, opens + 180 + r.IntN(400)})
		}
	}
	if r.IntN(2) == 0 {
		away := p.Start.Add(time.Duration(r.IntN(20)) * schedule.Day)
		p.Away = []Away{{away, away.Add(time.Duration(r.IntN(72)) * time.Hour)}}
	}
	for i := range 1 + r.IntN(5) {
		pair := pairOf(fmt.Sprint("A", i), "B", 1+r.IntN(8))
		for j := range pair {
			pair[j].PotLife = time.Duration(r.IntN(3)*15) * minute
			pair[j].Intervals[len(pair[j].Intervals)-1].Planned.Assumed = r.IntN(4) == 0
		}
		if r.IntN(3) == 0 { // a limit between distant steps as well
			pair[0].Intervals = append(pair[0].Intervals, schedule.Interval{Name: "total", From: schedule.ClampRemoval, To: schedule.LiftOut, Planned: planned("21 d +/- 9 h")})
		}
		switch r.IntN(4) { // left wet for days, or overnight, then broken
		case 0:
			pair[0].Intervals[3].Planned = planned("at least 3 d")
		case 1:
			pair[0].Intervals[3].Planned = planned("at most 30 h")
		}
		p.Groups = append(p.Groups, pair...)
	}
	return p
}
