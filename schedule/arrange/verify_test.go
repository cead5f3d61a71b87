package arrange

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
)

// TestVerify breaks every limit of a good calendar, one at a time.
func TestVerify(t *testing.T) {
	p := oarLoft()
	p.Groups = p.Groups[:4]
	good := must(t, p).Calendar
	find := func(c Calendar, stage schedule.Stage) *Task {
		for i := range c.Tasks {
			if c.Tasks[i].Stage == stage {
				return &c.Tasks[i]
			}
		}
		t.Fatalf("no %s", stage)
		return nil
	}
	move := func(task *Task, by time.Duration) { task.From, task.To = task.From.Add(by), task.To.Add(by) }
	for _, test := range []struct {
		name  string
		spoil func(p *Problem, c *Calendar)
		says  string
	}{
		{"night", func(_ *Problem, c *Calendar) { move(find(*c, schedule.GlueUp), 12*time.Hour) }, "nobody is there"},
		{"away", func(p *Problem, c *Calendar) {
			at := find(*c, schedule.Break).From
			p.Away = []Away{{at, at.Add(time.Minute)}}
		}, "nobody is there"},
		{"two at once", func(_ *Problem, c *Calendar) { move(find(*c, schedule.GlueUp), 5*minute) }, "two things at once"},
		{"too quick", func(_ *Problem, c *Calendar) { find(*c, schedule.Break).To = find(*c, schedule.Break).From.Add(minute) }, "bonds take"},
		{"early clamp", func(_ *Problem, c *Calendar) { move(find(*c, schedule.ClampRemoval), -3*time.Hour) }, "clamp of 20 h 33 min is early"},
		{"long soak", func(p *Problem, _ *Calendar) {
			p.Groups[0].Intervals = append([]schedule.Interval{}, p.Groups[0].Intervals...)
			p.Groups[0].Intervals[2].Planned = planned("6 d +/- 1 h")
		}, "soak of 7 d is late"},
		{"wet hold", func(p *Problem, _ *Calendar) {
			p.Groups[0].Intervals = append([]schedule.Interval{}, p.Groups[0].Intervals...)
			p.Groups[0].Intervals[3].Planned = planned("at most 20 min")
		}, "wet hold of 24 min is late"},
		{"control", func(_ *Problem, c *Calendar) {
			for i := range c.Tasks {
				if c.Tasks[i].Group == "CAS dry" && c.Tasks[i].Stage == schedule.Break {
					move(&c.Tasks[i], -2*schedule.Day)
				}
			}
		}, "age of"},
		{"clamps", func(p *Problem, _ *Calendar) { p.Clamps = 15 }, "16 bonds under pressure"},
		{"pot life", func(p *Problem, _ *Calendar) { p.Groups[1].PotLife = 15 * minute }, "pot life 15 min"},
		{"no break", func(_ *Problem, c *Calendar) { c.Tasks = c.Tasks[:len(c.Tasks)-1] }, "has no break"},
		{"one more", func(p *Problem, _ *Calendar) { p.Groups[2].Bonds++ }, "4 bonds are glued, not 5"},
		{"another group", func(_ *Problem, c *Calendar) { c.Tasks[0].Group = "hide glue" }, "no such group"},
		{"a bond twice", func(_ *Problem, c *Calendar) { c.Tasks = append(c.Tasks, c.Tasks[len(c.Tasks)-1]) }, "more bonds"},
		{"before the start", func(p *Problem, _ *Calendar) { p.Start = p.Start.Add(minute) }, "of the start"},
		{"another day", func(p *Problem, _ *Calendar) { p.Start = p.Start.Add(-schedule.Day) }, "nothing is glued on 2026-02-20"},
		{"no zone", func(p *Problem, _ *Calendar) { p.Zone = nil }, "no zone"},
	} {
		q, c := p, good
		q.Groups = append([]Group{}, p.Groups...)
		c.Tasks = append([]Task{}, good.Tasks...)
		test.spoil(&q, &c)
		if broken := strings.Join(verify(q, c), "; "); !strings.Contains(broken, test.says) {
			t.Errorf("%s: %q, want %q in it", test.name, broken, test.says)
		}
	}
}

// TestNeverBreaksALimit: whatever the answer, the calendar keeps every limit of
// the problem, or of the relaxed one.
func TestNeverBreaksALimit(t *testing.T) {
	found, relaxed := 0, 0
	for seed := range uint64(40) {
		p := largerStudy(rand.New(rand.NewPCG(seed, 60)))
		a := must(t, p)
		switch {
		case t.Failed():
			t.Fatalf("study %d: %+v", seed, p)
		case a.Found:
			found++
		case a.Relaxed != nil:
			relaxed++
		}
	}
	if found < 10 || relaxed < 10 {
		t.Errorf("%d found, %d relaxed of 40: too few to say anything", found, relaxed)
	}
}

// TestNearTheBest: arranged one sitting after the other, small studies mostly end
// as soon as the best calendar does. The shares are those of this program, with
// room; no source has any.
func TestNearTheBest(t *testing.T) {
	best, found, same := 0, 0, 0
	for seed := range uint64(400) {
		p := someStudy(rand.New(rand.NewPCG(seed, 6)))
		if err := check(&p); err != nil {
			t.Fatal(err)
		}
		a := solve(p)
		if !a.Found || !a.Exact {
			continue
		}
		best++
		if quick := newModel(p, a.Calendar.Quarters).greedy(); quick != nil {
			found++
			if quick.calendar().Last.Equal(a.Calendar.Last) {
				same++
			}
		}
	}
	if found*10 < best*9 || same*20 < best*17 {
		t.Errorf("of %d studies %d found a calendar and %d the soonest; want nine in ten and 85 %%", best, found, same)
	}
}

// TestInTurnKeepsEveryLimit: as small groups that are placed in turn, what the
// random studies come to keeps their limits too, as the verifier judges.
func TestInTurnKeepsEveryLimit(t *testing.T) {
	found := 0
	for seed := range uint64(atLength(400, 60)) {
		p := largerStudy(rand.New(rand.NewPCG(seed, 21)))
		p.Groups = singles(p.Groups)
		a, err := InTurn(p)
		if err != nil {
			t.Fatalf("study %d: %v", seed, err)
		}
		if !a.Found {
			continue
		}
		if found++; len(verify(p, a.Calendar)) > 0 {
			t.Errorf("study %d: %v", seed, verify(p, a.Calendar))
		}
	}
	if found < 10 {
		t.Errorf("only %d studies have a calendar", found)
	}
}

// singles divides pairs of groups into pairs of one bond each.
func singles(groups []Group) (list []Group) {
	for _, g := range groups {
		for i := range g.Bonds {
			one := g
			one.Bonds, one.Key = 1, fmt.Sprint(g.Key, i)
			if g.Follows != "" {
				one.Follows = fmt.Sprint(g.Follows, i)
			}
			list = append(list, one)
		}
	}
	return list
}
