package arrange

import (
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
)

func TestProblems(t *testing.T) {
	for _, test := range []struct {
		says  string
		spoil func(p *Problem)
	}{
		{"no zone", func(p *Problem) { p.Zone = nil }},
		{"no start", func(p *Problem) { p.Start = time.Time{} }},
		{"grid", func(p *Problem) { p.Grid = time.Second }},
		{"spread", func(p *Problem) { p.Spread = -1 }},
		{"clamps", func(p *Problem) { p.Clamps = -1 }},
		{"nothing to glue", func(p *Problem) { p.Groups = nil }},
		{"same day", func(p *Problem) { p.Hours = []Hours{{time.Monday, 600, 600}} }},
		{"same day", func(p *Problem) { p.Hours = []Hours{{time.Monday, 600, 1441}} }},
		{"same day", func(p *Problem) { p.Hours = []Hours{{7, 600, 700}} }},
		{"twice", func(p *Problem) { p.Groups[1].Key = p.Groups[0].Key }},
		{"bonds", func(p *Problem) { p.Groups[0].Bonds = 0 }},
		{"bonds", func(p *Problem) { p.Groups[0].Bonds = 10000 }},
		{"pot life", func(p *Problem) { p.Groups[0].PotLife = -1 }},
		{"no steps", func(p *Problem) { p.Groups[0].Steps = nil }},
		{"a bond", func(p *Problem) { p.Groups[0].Steps[0].Hands = -1 }},
		{"there twice", func(p *Problem) { p.Groups[0].Steps[1].Stage = schedule.GlueUp }},
		{"after it begins", func(p *Problem) {
			p.Groups[0].Intervals[1] = schedule.Interval{Name: "cure", From: schedule.Break, To: schedule.GlueUp, Planned: planned("7 d")}
		}},
		{"from nothing to", func(p *Problem) { p.Groups[0].Intervals[0].Planned.Early = -1 }},
		{"follows none", func(p *Problem) { p.Groups[1].Follows = "" }},
		{"not there", func(p *Problem) { p.Groups[1].Follows = "hide glue" }},
		{"another itself", func(p *Problem) { p.Groups[1].Follows = p.Groups[3].Key }},
		{"to follow", func(p *Problem) { p.Groups[0].Steps = p.Groups[0].Steps[:4] }},
		{"coarser", func(p *Problem) { p.Hours, p.Grid, p.Spread = nil, minute, 1000*schedule.Day }},
	} {
		p := oarLoft()
		test.spoil(&p)
		if _, err := Arrange(p); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%v, want %q in it", err, test.says)
		}
	}
}

// FuzzArrange: no problem makes it panic, and no calendar breaks a limit.
func FuzzArrange(f *testing.F) {
	f.Add(int64(1771680600), 4, 6, 24, 22, 7, 30, uint8(0x55), 9, 21)
	f.Add(int64(-1), 1, 0, 0, 0, 0, 0, uint8(0), 0, 24)
	f.Add(int64(1774742400), 30, 1, 1, 1000, 3, 5, uint8(0xff), 0, 3)
	f.Fuzz(func(t *testing.T, start int64, bonds, clamps, clamp, cure, soak, hold int, days uint8, opens, ends int) {
		if start < -1e9 || start > 4e9 || bonds > 12 || clamp > 100 || cure > 200 || soak > 200 {
			return
		}
		hours := func(n int) schedule.Planned {
			return schedule.Planned{Kind: schedule.Target, Length: time.Duration(n) * time.Hour, Early: time.Hour, Late: time.Hour}
		}
		g := oneGroup(bonds, [5]int{4, 1, 1, 1, 6}, "1 h", "1 h", "1 h", "1 h")
		for i, n := range []int{clamp, cure, soak} {
			g.Intervals[i].Planned = hours(n)
		}
		g.Intervals[3].Planned = schedule.Planned{Kind: schedule.AtMost, Length: time.Duration(hold) * minute}
		p := Problem{Zone: london(), Start: time.Unix(start, 0), Grid: 15 * minute, Clamps: clamps, Groups: []Group{g}}
		for day := range 7 {
			if days>>day&1 == 1 {
				p.Hours = append(p.Hours, Hours{time.Weekday(day), opens * 60, ends * 60})
			}
		}
		a, err := Arrange(p)
		if err != nil || !a.Found && a.Relaxed == nil {
			return
		}
		if a.Relaxed != nil {
			p = a.Relaxed.Problem
		}
		if broken := verify(p, a.Calendar); len(broken) > 0 {
			t.Errorf("%q", broken)
		}
	})
}
