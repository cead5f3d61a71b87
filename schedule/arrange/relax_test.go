package arrange

import (
	"strings"
	"testing"
	"time"
)

// friday is the day on which the studies of these tests begin.
func friday() time.Time { return time.Date(2026, 2, 20, 9, 0, 0, 0, london()) }

func TestRelax(t *testing.T) {
	short := [5]int{4, 1, 1, 1, 6}
	glued := func(g Group) Group { g.Steps = g.Steps[:2]; return g }
	for _, test := range []struct {
		name     string
		p        Problem
		why, how string
	}{
		{
			"the shop is shut on the first day",
			Problem{Hours: []Hours{{time.Saturday, 9 * 60, 18 * 60}, {time.Sunday, 9 * 60, 18 * 60}},
				Groups: []Group{oneGroup(2, short, "24 h", "14 d", "7 d", "at most 30 min")}},
			"glued on Friday 20 February, no glue-up falls into the hours when somebody is there",
			"starting Saturday 21 February",
		}, {
			"two sittings of six do not make sixteen",
			Problem{Hours: everyDay(Hours{Opens: 9 * 60, Ends: 13 * 60}), Spread: 26 * time.Hour, Clamps: 6,
				Groups: []Group{glued(oneGroup(16, short, "24 h +/- 2 h", "none", "none", "none"))}},
			"16 bonds: each group would fit alone, but not all of them with one pair of hands and 6 clamps, glued within 1 d 2 h",
			"with 8 clamps instead of 6",
		}, {
			// Immersed at 09:56, lifted at 17:06: 7 h 10 min, planned 4 h and 10 min.
			"the shop is shut when the lift-out is due",
			Problem{Hours: everyDay(Hours{Opens: 9 * 60, Ends: 10 * 60}, Hours{Opens: 17*60 + 5, Ends: 17*60 + 30}),
				Groups: []Group{oneGroup(1, short, "24 h", "14 d", "4 h +/- 10 min", "at most 30 min")}},
			"casein: whenever it is glued, no lift-out and break falls into the hours when somebody is there",
			"if the soak may end 3 h later",
		}, {
			"one break takes longer than the wet hold",
			Problem{Groups: []Group{oneGroup(3, short, "24 h", "14 d", "7 d", "at most 5 min")}},
			"casein: even one alone waits longer than the limit between lift-out and break",
			"if the wet hold may last 1 min longer",
		}, {
			"three days after a Saturday nobody is there",
			Problem{Hours: []Hours{{time.Friday, 9 * 60, 18 * 60}},
				Groups: []Group{glued(oneGroup(2, short, "3 d +/- 2 h", "none", "none", "none"))}},
			"casein: whenever it is glued, no clamp removal falls into the hours when somebody is there",
			"if somebody is there on Mondays from 09:00 to 18:00",
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			test.p.Zone, test.p.Start = london(), friday()
			a := must(t, test.p)
			if a.Found || a.Relaxed == nil {
				t.Fatalf("found %v, relaxed %v", a.Found, a.Relaxed)
			}
			if got := strings.Join(a.Why, "; "); got != test.why || a.Relaxed.Text != test.how || !a.Exact {
				t.Errorf("%q: %q (proven %v), want %q: %q", got, a.Relaxed.Text, a.Exact, test.why, test.how)
			}
		})
	}
}

// TestNothingHelps: a pot that is set before one bond is glued.
func TestNothingHelps(t *testing.T) {
	g := oneGroup(2, [5]int{6, 1, 1, 1, 6}, "24 h", "14 d", "7 d", "at most 30 min")
	g.PotLife = 5 * minute
	a := must(t, Problem{Zone: london(), Start: friday(), Groups: []Group{g}})
	want := "casein: one bond takes 6 min to glue, the pot life is 5 min"
	if a.Found || !a.Exact || a.Relaxed != nil || len(a.Why) != 1 || a.Why[0] != want {
		t.Errorf("%+v, want %q", a, want)
	}
}
