package strength_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
)

// each makes specimens of one adhesive and treatment of the strengths given:
// broke, or "fell" apart, or ">9" where the rig gave way, or "9w" where the
// wood did, or "lost". The ram is as large as the bond, so 1 MPa is 1 MPa.
func each(t *testing.T, from int, adhesive, treatment string, strengths ...string) (lives []*tracker.Life) {
	t.Helper()
	for i, s := range strengths {
		how, wood := tracker.Separated, 0.0
		if rest, ok := strings.CutPrefix(s, ">"); ok {
			how, s = tracker.FixtureGave, rest
		}
		if rest, ok := strings.CutSuffix(s, "w"); ok {
			wood, s = 100, rest
		}
		l := block(from+i, adhesive, treatment, try(how, s+" MPa", &wood))
		l.BondLength, l.BondWidth = 0.04, 1594e-6/0.04
		l.Halves = [2]*tracker.Faces{{WoodFailure: wood}, {WoodFailure: wood}}
		switch s {
		case "fell":
			l.Tries, l.Halves = []tracker.TryAt{try(tracker.FellApart, "", nil)}, [2]*tracker.Faces{}
		case "lost":
			l.End = tracker.Lost
		}
		lives = append(lives, l)
	}
	return lives
}

// What nobody could sign must not be said: each case once was.
func TestHeadlinesThatMustNotBe(t *testing.T) {
	four := func(s string) []string { return strings.Fields(s) }
	for name, c := range map[string]struct {
		a, b []string // RF and UF, soaked
		say  string
		not  string
	}{
		"most of the winner fell apart": {slices.Concat(four("12 12.1"), slices.Repeat([]string{"fell"}, 18)), four("8 8.1 7.9 8 8.2"),
			"the readings of those that held differ, but 18 of 20 of RF fell apart", "held best"},
		"the loser was never broken by the rig": {four("9 9.1 9.2 9.05"), four("5 5.2 >12.5 >13"), "but wood or rig gave way first in 2 of 4 of UF, which may be the stronger bond", "held best"},
		"the loser's wood gave way":             {four("9 9.1 9.2 9.05"), four("6w 6.1w 6.05w 6.2w"), "but wood or rig gave way first in 4 of 4 of UF, which may be the stronger bond", "held best"},
		"the rig broke none of the other":       {four("9 9.1 9.2 9.05"), four(">15 >15.1 >15.3 >15.5"), "UF: the rig gave way or stopped first in 4 of 4", "told apart"},
		"no scatter":                            {four("12 12 12 12"), four("6 6 6 6"), "no scatter between the readings", "cannot be told apart"},
		"lost ones do not count in n":           {four("12 12.1 lost lost"), four("6 6.2 6.1 6.3"), "RF held best, mean 12.1 MPa (n 2 of 4)", "n 4); told"},
		"nothing is left":                       {four("12 12.1 12.2"), four("lost lost lost"), "UF: nothing left to break, 3 lost, damaged or withdrawn", "held best"},
		"all fell apart":                        {four("12 12.1 12.2"), four("fell fell fell"), "UF: all 3 fell apart before any load", "held best"},
	} {
		r := strength.Sums(loft(), append(each(t, 1, "RF", "soaked", c.a...), each(t, 40, "UF", "soaked", c.b...)...), nil)
		got := strings.Join(findings(r), "\n")
		if !strings.Contains(got, c.say) || strings.Contains(got, c.not) {
			t.Errorf("%s: want %q and not %q in\n%s", name, c.say, c.not, got)
		}
	}
}

// Half the groups clamped an hour, half a day: the middle lies between them,
// and yet no pair across may be compared.
func TestAPairIsComparedDirectly(t *testing.T) {
	day := schedule.Planned{Kind: schedule.Target, Length: 24 * time.Hour, Early: 12 * time.Hour, Late: 12 * time.Hour}
	clamp := tracker.IntervalDrift{Interval: "clamp", Planned: day}
	var lives []*tracker.Life
	for i, key := range []string{"RF", "UF", "PVA", "EPX"} {
		by := time.Duration(-23*(i%2)) * time.Hour
		lives = append(lives, each(t, 10*i+1, key, "soaked", fmt.Sprint(9-i), fmt.Sprint(9.1-float64(i)), fmt.Sprint(9.2-float64(i)))...)
		clamp.Specimens = append(clamp.Specimens, tracker.SpecimenDrift{Of: tracker.Specimen{Adhesive: key, Treatment: "soaked"}, Planned: day,
			Lo: day.Length + by, Hi: day.Length + by, Drift: by, Known: true, Done: true})
	}
	r := strength.Sums(loft(), lives, []tracker.IntervalDrift{clamp.Within(loft(), "soaked")})
	for _, c := range r.Comparisons {
		if across := (c.A == "RF" || c.A == "PVA") != (c.B == "RF" || c.B == "PVA"); c.Comparable == across {
			t.Errorf("%s, %s: comparable %v, %q", c.A, c.B, c.Comparable, reasons(c.Reasons))
		}
	}
	got := strings.Join(findings(r), "\n")
	for _, want := range []string{"RF held best, mean 9.1 MPa (n 3); told apart from PVA\n", "UF is not compared with RF: clamp of UF soaked and RF soaked lie 23 h apart, the plan allows 12 h"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in\n%s", want, got)
		}
	}
}

// A limit broken by a whole group makes it unlike the others, as a drift does.
func TestALimitBrokenByAGroup(t *testing.T) {
	limit := schedule.Planned{Kind: schedule.AtMost, Length: 30 * time.Minute}
	hold := tracker.IntervalDrift{Interval: "wet hold", Planned: limit}
	for i := range 6 {
		s := tracker.SpecimenDrift{Of: tracker.Specimen{Adhesive: []string{"RF", "UF"}[i%2], Treatment: "soaked"}, Planned: limit, Known: true, Done: true,
			Lo: 10 * time.Minute, Hi: 10 * time.Minute, Verdict: schedule.Within}
		if i%2 == 0 {
			s.Lo, s.Hi, s.Verdict = 120*time.Hour, 120*time.Hour, schedule.Late
		}
		hold.Specimens = append(hold.Specimens, s)
	}
	lives := append(each(t, 1, "RF", "soaked", "12", "12.1", "12.2"), each(t, 10, "UF", "soaked", "6", "6.1", "6.2")...)
	r := strength.Sums(loft(), lives, []tracker.IntervalDrift{hold.Within(loft(), "soaked")})
	want := "soaked: RF: its comparison does not stand: wet hold of RF soaked was 5 d in the middle, outside its limit in 3 of 3"
	if r.Comparisons[0].Comparable || !slices.Contains(findings(r), want) {
		t.Errorf("%+v\n%q", r.Comparisons[0], findings(r))
	}
}
