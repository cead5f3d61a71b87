package arrange

import (
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
)

// everyDay is the same hours on all days of the week.
func everyDay(hours ...Hours) []Hours {
	var list []Hours
	for day := time.Sunday; day <= time.Saturday; day++ {
		for _, h := range hours {
			list = append(list, Hours{day, h.Opens, h.Ends})
		}
	}
	return list
}

// oneGroup has glue-up, clamp removal, immersion, lift-out and break, each of
// the minutes given, and the intervals given as text, in the usual order.
func oneGroup(bonds int, minutes [5]int, clamp, cure, soak, hold string) Group {
	stages := schedule.Stages()[2:]
	names := []string{"clamp", "cure", "soak", "wet hold"}
	g := Group{Key: "casein", Bonds: bonds}
	for i, stage := range stages {
		g.Steps = append(g.Steps, Step{Stage: stage, Hands: time.Duration(minutes[i]) * minute})
	}
	for i, text := range []string{clamp, cure, soak, hold} {
		g.Intervals = append(g.Intervals, schedule.Interval{Name: names[i], From: stages[i], To: stages[i+1], Planned: planned(text)})
	}
	return g
}

// must arranges and sees that the calendar, or that of the relaxed problem,
// keeps every limit.
func must(t *testing.T, p Problem) Answer {
	t.Helper()
	a, err := Arrange(p)
	if err != nil {
		t.Fatal(err)
	}
	if a.Relaxed != nil {
		p = a.Relaxed.Problem
	}
	if a.Found || a.Relaxed != nil {
		if broken := verify(p, a.Calendar); len(broken) > 0 {
			t.Errorf("the calendar breaks %q", broken)
		}
	}
	return a
}

// begins lists when the tasks of one sitting begin.
func begins(c Calendar) string {
	var list []string
	for _, t := range c.Tasks {
		list = append(list, t.From.Format("Mon 2 Jan 15:04 MST"))
	}
	return strings.Join(list, ", ")
}

// TestWeeks: glue-up Saturday 14:00, clamp-off Sunday 14:00, cure 14 d to Sunday
// 14:00, soak 7 d to Sunday 14:00 (common practice, no published source).
func TestWeeks(t *testing.T) {
	p := Problem{
		Zone: london(), Start: time.Date(2026, 2, 21, 14, 0, 0, 0, london()), Hours: oarLoft().Hours,
		Groups: []Group{oneGroup(1, [5]int{}, "24 h +/- 0 h", "14 d +/- 0 h", "7 d +/- 0 h", "at most 30 min")},
	}
	a := must(t, p)
	want := "Sat 21 Feb 14:00 GMT, Sun 22 Feb 14:00 GMT, Sun 8 Mar 14:00 GMT, Sun 15 Mar 14:00 GMT, Sun 15 Mar 14:00 GMT"
	if got := begins(a.Calendar); got != want || !a.Exact {
		t.Errorf("%s (exact %v), want %s", got, a.Exact, want)
	}
}

// TestFourDaysInWater: in a shop that is open from Monday to Friday a cure of 7 d
// (EN 204) that ends on a Tuesday goes on until Thursday, for the 4 d soak would
// else end on a Saturday or Sunday.
func TestFourDaysInWater(t *testing.T) {
	p := Problem{Zone: london(), Start: time.Date(2026, 2, 23, 9, 0, 0, 0, london())}
	for day := time.Monday; day <= time.Friday; day++ {
		p.Hours = append(p.Hours, Hours{day, 9 * 60, 17 * 60})
	}
	p.Groups = []Group{oneGroup(4, [5]int{4, 1, 1, 1, 6}, "24 h", "at least 7 d", "4 d +/- 2 h", "at most 30 min")}
	a := must(t, p)
	want := "Mon 23 Feb 09:00 GMT, Tue 24 Feb 09:00 GMT, Thu 5 Mar 09:00 GMT, Mon 9 Mar 09:00 GMT, Mon 9 Mar 09:04 GMT"
	if got := begins(a.Calendar); got != want || !a.Exact {
		t.Errorf("%s (exact %v), want %s", got, a.Exact, want)
	}
}

// TestClockChanges: 24 h are 24 h. On 29 March 2026 the clocks in London are put
// forward, on 25 October back.
func TestClockChanges(t *testing.T) {
	for _, test := range []struct {
		start time.Time
		want  string
	}{
		{time.Date(2026, 3, 28, 14, 0, 0, 0, london()), "Sat 28 Mar 14:00 GMT, Sun 29 Mar 15:00 BST"},
		{time.Date(2026, 10, 24, 14, 0, 0, 0, london()), "Sat 24 Oct 14:00 BST, Sun 25 Oct 13:00 GMT"},
	} {
		g := oneGroup(1, [5]int{}, "24 h +/- 0 h", "none", "none", "none")
		g.Steps = g.Steps[:2]
		a := must(t, Problem{Zone: london(), Start: test.start, Groups: []Group{g}})
		if got := begins(a.Calendar); got != test.want {
			t.Errorf("%s, want %s", got, test.want)
		}
	}
}

// TestOpeningInTheGap: hours that begin or end while the clocks jump reach
// exactly to the jump, from 01:00 to 02:00 in London on 29 March 2026.
func TestOpeningInTheGap(t *testing.T) {
	p := Problem{Zone: london(), Hours: []Hours{{time.Sunday, 30, 90}, {time.Sunday, 100, 180}}}
	day := time.Date(2026, 3, 29, 0, 0, 0, 0, time.UTC)
	got := openings(p, day, day.Add(schedule.Day/2))
	jump := int(day.Add(time.Hour).Unix())
	for _, o := range got {
		if o.from < jump+7200 && o != (span{jump - 1800, jump + 3600}) {
			t.Errorf("open %+v, want from half an hour before the jump at %d to an hour after", o, jump)
		}
	}
}

// TestSittings: 16 bonds in six clamps, 24 h each, are glued in three sittings
// on three days.
func TestSittings(t *testing.T) {
	g := oneGroup(16, [5]int{4, 1, 1, 1, 6}, "24 h +/- 2 h", "none", "none", "none")
	g.Steps = g.Steps[:2]
	p := Problem{Zone: london(), Start: time.Date(2026, 2, 20, 9, 0, 0, 0, london()), Hours: everyDay(Hours{Opens: 9 * 60, Ends: 18 * 60}), Clamps: 6, Groups: []Group{g}}
	a := must(t, p)
	days := map[string]int{}
	for _, task := range a.Calendar.Tasks {
		if task.Stage == schedule.GlueUp {
			days[task.From.Format("Mon")] += task.Bonds
		}
	}
	if !a.Found || len(days) != 3 || days["Fri"]+days["Sat"]+days["Sun"] != 16 {
		t.Errorf("found %v, glued %v; want 16 on three days", a.Found, days)
	}
}

// TestHeld: four of six clamps come back at 15:00 of the second day, so that day
// one has two of eight bonds, and the rest comes when they are free.
func TestHeld(t *testing.T) {
	g := oneGroup(8, [5]int{4, 1, 1, 1, 6}, "24 h +/- 2 h", "none", "none", "none")
	g.Steps = g.Steps[:2]
	start := time.Date(2026, 2, 20, 9, 0, 0, 0, london())
	free := start.Add(30 * time.Hour)
	p := Problem{Zone: london(), Start: start, Hours: everyDay(Hours{Opens: 9 * 60, Ends: 18 * 60}), Clamps: 6, Groups: []Group{g}, Held: []time.Time{free, free, free, free}}
	for name, arranged := range map[string]func(Problem) (Answer, error){"best": Arrange, "in turn": InTurn} {
		a, err := arranged(p)
		if err != nil || !a.Found {
			t.Fatalf("%s: found %v, %v", name, a.Found, err)
		}
		before := 0
		for _, task := range a.Calendar.Tasks {
			if task.Stage == schedule.GlueUp && task.From.Before(free) {
				before += task.Bonds
			}
		}
		if broken := verify(p, a.Calendar); before > 4 || len(broken) > 0 { // two, and two more when these are off again
			t.Errorf("%s: %d glued before 15:00 of the second day; %q", name, before, broken)
		}
	}
}

// TestPotLife: 4 min a bond and a pot life of 30 min let a sitting have seven.
func TestPotLife(t *testing.T) {
	g := oneGroup(8, [5]int{4, 1, 1, 1, 6}, "24 h +/- 2 h", "none", "none", "none")
	g.Steps, g.PotLife = g.Steps[:2], 30*minute
	a := must(t, Problem{Zone: london(), Start: time.Date(2026, 2, 20, 9, 0, 0, 0, london()), Groups: []Group{g}})
	if a.Calendar.Sittings != 2 || !a.Exact {
		t.Errorf("%d sittings, exact %v; want 2, for 8 x 4 min > 30 min", a.Calendar.Sittings, a.Exact)
	}
	want := "casein: 8 bonds take 32 min to glue, pot life 30 min: at most seven a pot"
	if len(a.Notes) != 1 || a.Notes[0] != want {
		t.Errorf("%q, want %q", a.Notes, want)
	}
}

// TestTogether: six minutes a break and a limit of 30 allow five.
func TestTogether(t *testing.T) {
	for _, test := range []struct {
		limit, first, second time.Duration
		want                 int
	}{
		{30, 0, 6, 5}, {30, 1, 6, 5}, {30, 20, 6, 2}, {6, 1, 6, 1}, {5, 1, 6, 0}, {30, 0, 0, most},
	} {
		if got := together(test.limit*minute, test.first*minute, test.second*minute); got != test.want {
			t.Errorf("together(%d, %d, %d min) = %d, want %d", test.limit, test.first, test.second, got, test.want)
		}
	}
}

func TestNotes(t *testing.T) {
	for _, test := range []struct {
		bonds int
		hold  string
		want  string
	}{
		{9, "at most 30 min", "nine lifted together wait 54 min, limit 30 min: lift in lots of five"},
		{9, "at most 11 min", "nine lifted together wait 54 min, limit 11 min: lift one at a time"},
		{24, "at most 30 min", "24 lifted together wait 2 h 24 min, limit 30 min: lift in lots of five"},
		{5, "at most 30 min", ""},
	} {
		p := Problem{Groups: []Group{oneGroup(test.bonds, [5]int{4, 1, 1, 1, 6}, "24 h", "14 d", "7 d", test.hold)}}
		if got := strings.Join(holds(p), "; "); got != test.want {
			t.Errorf("%d bonds, %s: %q, want %q", test.bonds, test.hold, got, test.want)
		}
	}
}

// TestSameAgain: the same problem has the same answer.
func TestSameAgain(t *testing.T) {
	first, _ := Arrange(oarLoft())
	for range 3 {
		if again, _ := Arrange(oarLoft()); inWords(again.Calendar) != inWords(first.Calendar) {
			t.Fatal("another calendar for the same problem")
		}
	}
}
