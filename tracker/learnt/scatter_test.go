package learnt

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/stat"
	"soaktag/tracker/strength"
)

// study is an invented one: strengths in MPa by adhesive, all broken dry unless wet.
func study(id string, wet bool, strengths map[string][]float64) Past {
	p := Past{id: id, Study: &tracker.Study{Title: "study " + id}}
	state := strength.Text("dry")
	if wet {
		state = "wet"
	}
	for _, key := range []string{"A", "B", "WOOD"} {
		p.Study.Adhesives = append(p.Study.Adhesives, tracker.Adhesive{Key: key, SolidWood: key == "WOOD"})
		g := strength.Group{Adhesive: key, State: state, Broke: len(strengths[key])}
		for i, x := range strengths[key] {
			g.Members = append(g.Members, strength.Specimen{Code: id + key + string(rune('a'+i)), ShearMPa: &x, Outcome: strength.Broke})
		}
		p.Groups = append(p.Groups, g)
	}
	return p
}

var (
	first  = study("1", false, map[string][]float64{"A": {10, 11, 12}, "B": {8, 8.4, 9.5}, "WOOD": {5, 20}})
	second = study("2", false, map[string][]float64{"A": {9, 10.5, 11}, "B": {7, 7.7, 8}})
	third  = study("3", true, map[string][]float64{"A": {6, 7, 9}, "B": {3}})
)

// The pooled scatter by hand: the squares about each group's own mean log.
func TestScatterIsPooledWithinGroupsAndStates(t *testing.T) {
	got := Scatters(Each([]Past{first, second, third}))
	if len(got) != 2 || got[0].State != "dry" || got[1].State != "wet" {
		t.Fatalf("states %+v", got)
	}
	var squares float64
	for _, xs := range [][]float64{{10, 11, 12}, {8, 8.4, 9.5}, {9, 10.5, 11}, {7, 7.7, 8}} {
		mean := math.Log(xs[0]*xs[1]*xs[2]) / 3
		for _, x := range xs {
			squares += (math.Log(x) - mean) * (math.Log(x) - mean)
		}
	}
	if want := math.Sqrt(squares / 8); math.Abs(got[0].S-want) > 1e-12 || got[0].DF != 8 || got[0].Readings != 12 {
		t.Errorf("dry %v on %d of %d, want %v on 8 of 12: solid wood is no bond", got[0].S, got[0].DF, got[0].Readings, want)
	}
	if !got[1].Few() || got[1].DF != 2 {
		t.Errorf("wet %+v is not told as too few", got[1])
	}
}

func TestNoOrderChangesWhatIsLearnt(t *testing.T) {
	want := Scatters(Each([]Past{first, second, third}))
	turned := second
	turned.Groups = slices.Clone(second.Groups)
	slices.Reverse(turned.Groups)
	for _, named := range [][]Past{{third, second, first}, {first, first, second, third, second}, {turned, third, first}} {
		if got := Scatters(Each(named)); !reflect.DeepEqual(got, want) {
			t.Errorf("another answer:\n%+v\n%+v", got, want)
		}
	}
}

func TestUnlikeStudiesArePlannedByTheLarger(t *testing.T) {
	calm := study("1", false, map[string][]float64{"A": {10, 10.1, 10.2, 10.15}, "B": {8, 8.1, 8.05, 8.12}})
	wild := study("2", false, map[string][]float64{"A": {6, 10, 16, 12}, "B": {5, 8, 12, 7}})
	s := Scatters(Each([]Past{calm, wild}))[0]
	if !s.Unalike() || len(s.Apart) != 2 || s.Planned != s.Apart[1].S || s.PlanDF != 6 || s.Planned <= s.S {
		t.Errorf("planned by %v on %v: %+v", s.Planned, s.PlanDF, s)
	}
}

// Where wood gave way first the fit with lower bounds is larger, and planned by.
func TestWoodLimitedReadingsWidenTheScatter(t *testing.T) {
	p := study("1", false, map[string][]float64{"A": {9, 10, 12, 13, 13}, "B": {8, 9, 11, 13, 13}})
	for i := range p.Groups[:2] {
		g := &p.Groups[i]
		g.Broke, g.WoodLimited = 3, 2
		for j := 3; j < 5; j++ {
			g.Members[j].Outcome, g.Members[j].Bound = strength.WoodLimited, stat.AtLeast
		}
	}
	s := Scatters([]Past{p})[0]
	if !s.Narrowed() || !(s.Fitted > s.S) || s.Planned != s.Fitted || s.PlanDF != 4 {
		t.Errorf("%+v", s)
	}
}
