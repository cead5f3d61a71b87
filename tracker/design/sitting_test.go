package design_test

import (
	"os"
	"slices"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/plan"
)

// evenings is a study of nine adhesives, three of each dry and three soaked on
// three boards, with six clamps and three hours every evening.
func evenings(t *testing.T) *tracker.Study {
	t.Helper()
	text, err := os.ReadFile("../../cmd/soaktag/testdata/nine-evenings.toml")
	if err != nil {
		t.Fatal(err)
	}
	s, problems := plan.Check("nine-evenings.toml", text)
	for _, p := range problems {
		if p.Level == plan.Error {
			t.Fatal(p)
		}
	}
	return &s
}

// studies are shapes of a glue-up; of each the sittings it comes to, and whether
// a calendar dates them. The numbers follow from clamps, hours and hands alone.
func studies(t *testing.T) map[string]shape {
	with := func(change func(*tracker.Study)) *tracker.Study {
		s := evenings(t)
		change(s)
		return s
	}
	return map[string]shape{
		"six clamps in the evening": {with(func(*tracker.Study) {}), 9, true},
		"no date":                   {with(func(s *tracker.Study) { s.FirstGlueUp = time.Time{} }), 9, false},
		"no boards":                 {with(func(s *tracker.Study) { s.Wood.Boards = nil }), 9, true},
		"18 clamps, a board each":   {with(func(s *tracker.Study) { s.Specimen.Clamps = 18 }), 3, true},
		"20 clamps, a board each":   {with(func(s *tracker.Study) { s.Specimen.Clamps = 20 }), 3, true},
		"seven clamps split pots":   {with(func(s *tracker.Study) { s.Specimen.Clamps, s.FirstGlueUp = 7, time.Time{} }), 8, false},
		"two clamps a bond":         {with(func(s *tracker.Study) { s.Specimen.Clamps, s.Specimen.ClampForce = 12, s.Specimen.ClampForce/2 }), 9, true},
		"clamps that nobody counts": {with(func(s *tracker.Study) { s.Specimen.Clamps, s.FirstGlueUp = 0, time.Time{} }), 2, false}, // 45 bonds of 4 min in 3 h
		"one piece of solid wood": {with(func(s *tracker.Study) {
			s.Adhesives[0] = tracker.Adhesive{Key: "SOL", SolidWood: true}
			s.FirstGlueUp = time.Time{}
		}), 8, false},
		"unclamped": {with(func(s *tracker.Study) {
			s.Intervals = slices.DeleteFunc(s.Intervals, func(iv schedule.Interval) bool { return iv.Name == "clamp" })
			s.FirstGlueUp = time.Time{}
		}), 9, false},
	}
}

type shape struct {
	study    *tracker.Study
	sittings int
	dated    bool
}

func TestSittings(t *testing.T) {
	for name, x := range studies(t) {
		t.Run(name, func(t *testing.T) {
			c := design.LayOut(x.study)
			if len(c.Sittings) != x.sittings || c.Sittings[0].Dated() != x.dated {
				t.Errorf("%d sittings, dated %v; want %d, %v", len(c.Sittings), c.Sittings[0].Dated(), x.sittings, x.dated)
			}
			everyBondOnce(t, x.study, c.Sittings)
			clampsSuffice(t, x.study, c.Sittings)
			batchesCover(t, x.study, c.Sittings)
		})
	}
}

func everyBondOnce(t *testing.T, s *tracker.Study, sittings []design.Sitting) {
	t.Helper()
	seen := map[string]int{}
	for _, sitting := range sittings {
		for _, b := range sitting.Bonds {
			seen[b.Code.String()]++
		}
	}
	for _, sp := range design.Allocate(s) {
		want := 1
		if s.Adhesive(sp.Adhesive).SolidWood {
			want = 0
		}
		if n := seen[sp.Code.String()]; n != want {
			t.Errorf("%s is in %d sittings, want %d", sp.Code, n, want)
		}
		delete(seen, sp.Code.String())
	}
	if len(seen) > 0 {
		t.Errorf("not dealt: %v", seen)
	}
}

// clampsSuffice looks at the numbers: no clamp twice in a sitting, none that is
// not there, none that can still be on a bond of an earlier one, which stays in it
// 22 h at least.
func clampsSuffice(t *testing.T, s *tracker.Study, sittings []design.Sitting) {
	t.Helper()
	busy := map[int]time.Time{}
	for _, sitting := range sittings {
		used := map[int]bool{}
		for _, b := range sitting.Bonds {
			for _, n := range b.Clamps {
				if n < 1 || n > s.Specimen.Clamps || used[n] || sitting.Dated() && sitting.From.Before(busy[n]) {
					t.Errorf("sitting %d: clamp %d of %d on %s", sitting.Number, n, s.Specimen.Clamps, b.Code)
				}
				used[n] = true
			}
		}
		for n := range used {
			busy[n] = sitting.From.Add(22 * time.Hour)
		}
	}
}

// batchesCover: the batches follow each other through a sitting, each of one
// adhesive, and none is for more bonds than it lasts for, unless that is warned of.
func batchesCover(t *testing.T, s *tracker.Study, sittings []design.Sitting) {
	t.Helper()
	warned := map[string]bool{}
	for _, f := range design.PotLife(s, sittings) {
		warned[f.What.(design.ShortPot).Adhesive] = true
	}
	for _, sitting := range sittings {
		next := 1
		for _, b := range sitting.Batches {
			if b.First != next || b.Last < b.First {
				t.Errorf("sitting %d: %+v does not begin at %d", sitting.Number, b, next)
			}
			for _, g := range sitting.Bonds[b.First-1 : b.Last] {
				if g.Adhesive != b.Adhesive {
					t.Errorf("sitting %d: %s is mixed for %s", sitting.Number, b.Adhesive, g.Adhesive)
				}
			}
			if takes := time.Duration(b.Bonds()) * s.Hands(schedule.GlueUp); b.Life > 0 && takes > b.Life && !warned[b.Adhesive] {
				t.Errorf("sitting %d: a pot of %s lasts %s and takes %s", sitting.Number, b.Adhesive, b.Life, takes)
			}
			next = b.Last + 1
		}
		if next != len(sitting.Bonds)+1 {
			t.Errorf("sitting %d: batches for %d of %d bonds", sitting.Number, next-1, len(sitting.Bonds))
		}
	}
}

// TestADayIsABlock: of six clamps a sitting is a third of a board, in the order
// dealt, and no adhesive has a day to itself.
func TestADayIsABlock(t *testing.T) {
	s := evenings(t)
	c := design.LayOut(s)
	var dealt []string
	for _, sp := range byOrder(design.Allocate(s)) {
		dealt = append(dealt, sp.Code.String())
	}
	var glued []string
	days := map[string]map[int]bool{}
	for _, sitting := range c.Sittings {
		board := sitting.Bonds[0].Board
		for _, b := range sitting.Bonds {
			if glued = append(glued, b.Code.String()); b.Board != board {
				t.Errorf("sitting %d: boards %s and %s", sitting.Number, board, b.Board)
			}
			if days[b.Adhesive] == nil {
				days[b.Adhesive] = map[int]bool{}
			}
			days[b.Adhesive][sitting.Number] = true
		}
	}
	if !slices.Equal(glued, dealt) {
		t.Errorf("glued %v\ndealt %v", glued, dealt)
	}
	for key, n := range days {
		if len(n) != 3 {
			t.Errorf("%s in %d sittings, want one a board", key, len(n))
		}
	}
	if texts := ruled(say(s, design.Foresee(s, c)), "day-tied"); texts != nil {
		t.Errorf("%v", texts)
	}
}

func byOrder(list []tracker.Specimen) []tracker.Specimen {
	slices.SortFunc(list, func(a, b tracker.Specimen) int { return a.Order - b.Order })
	return list
}

// ruled are the texts of a rule.
func ruled(all []said, rule string) (texts []string) {
	for _, x := range all {
		if x.Rule == rule {
			texts = append(texts, x.Text+"; "+x.Hint)
		}
	}
	return texts
}

// TestTiedToADay: an adhesive that is glued in one sitting only is named, with its
// day; so is the reason that one planing does not do.
func TestTiedToADay(t *testing.T) {
	s := evenings(t)
	s.Wood.Boards = s.Wood.Boards[:1] // one block: each adhesive is one pot of six
	all := say(s, design.Foresee(s, design.LayOut(s)))
	want := "HID only on Thu 22 Oct, 8 more likewise: what the day did cannot be told from the adhesive; glue each on two days: more clamps, longer hours or more boards"
	if got := ruled(all, "day-tied"); len(got) != 1 || got[0] != want {
		t.Errorf("%q", got)
	}
	want = "a planed surface may age 1 d, and the glue-up takes 9 sittings on 9 days; plane again before each sitting, or take fewer: 9 planings in all"
	if got := ruled(all, "surface-ages"); len(got) != 1 || got[0] != want {
		t.Errorf("%q", got)
	}
	if got := ruled(all, "few-clamps"); len(got) != 1 || got[0] != "6 clamps hold 6 of 54 bonds; glue in 9 sittings on 9 days" {
		t.Errorf("%q", got)
	}
}

// TestPlaning: with 24 h and evenings a day apart each sitting is planed for
// itself, from 24 h before its last bond is closed; with 60 h one planing does for
// three, and without a limit nobody planes anew.
func TestPlaning(t *testing.T) {
	for within, planings := range map[time.Duration]int{24 * time.Hour: 9, 60 * time.Hour: 3, 0: 0} {
		s := evenings(t)
		for i := range s.Intervals {
			if s.Intervals[i].From == schedule.Planing {
				if s.Intervals[i].Planned.Length = within; within == 0 {
					s.Intervals[i].Planned.Kind = schedule.None
				}
			}
		}
		n := 0
		for _, x := range design.LayOut(s).Sittings {
			if x.Anew() {
				n++
			}
			if p := x.Planing; within > 0 && (x.To.Sub(p.NotBefore) > within || x.From.Before(p.Before)) {
				t.Errorf("%s, sitting %d: %+v for %s to %s", within, x.Number, p, x.From, x.To)
			}
		}
		if n != planings {
			t.Errorf("%s: %d planings, want %d", within, n, planings)
		}
	}
}
