package plan

import (
	"slices"
	"strings"
	"testing"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A name that stands for two things at the bench is an error; the names of the
// demo, of every published schedule and of plain plans are not.
func TestNames(t *testing.T) {
	for _, test := range []struct {
		stage string
		baths []string
		want  string
	}{
		{"dry 1", []string{"B1", "B2"}, ""},
		{"dry 1", []string{"B-1", "b1"}, `the baths "B-1" and "b1" have one card`},
		{"Lift out", nil, `the stages "lift-out" and "Lift out" have one card`},
		{"bath B1", []string{"B1"}, `the stage "bath B1" has the card of bath B1`},
		{"undo", nil, `a stage called "undo" is read as the card undo`},
		{"yes", nil, `a stage called "yes" is read as the card yes`},
		{"test 1", nil, `a stage called "test 1" is read as the card scanner test`},
		{"HBR-017-J", nil, `a stage called "HBR-017-J" is read as a specimen`},
		{"Lost", nil, `a stage called "Lost" is a word of its own`},
		{"clock", nil, `a stage called "clock" is a word of its own`},
	} {
		s := tracker.Study{Intervals: []schedule.Interval{{Name: "own", From: schedule.GlueUp, To: schedule.Stage(test.stage)}}}
		for _, bath := range test.baths {
			s.Adhesives = append(s.Adhesives, tracker.Adhesive{Bath: bath})
		}
		problems := Names("x.toml", &s)
		switch {
		case test.want == "" && len(problems) > 0:
			t.Errorf("%s, %v: %v", test.stage, test.baths, problems)
		case test.want != "" && (len(problems) != 1 || !strings.HasPrefix(problems[0].Text, test.want) || problems[0].Level != Error):
			t.Errorf("%s, %v: %v, want %s", test.stage, test.baths, problems, test.want)
		}
	}
}

// Every published schedule has names that may stand in a plan.
func TestNamesOfSchedules(t *testing.T) {
	for _, p := range schedule.Protocols() {
		s, _ := read(t, named(p))
		if problems := Names("x.toml", &s); len(problems) > 0 {
			t.Errorf("%s: %v", p.Name, problems)
		}
	}
}

// Rigs and boards have no card, and are typed.
func TestNamesThatAreTyped(t *testing.T) {
	s := tracker.Study{
		Rigs: []tracker.Rig{{Name: "press"}, {Name: "jig"}, {Name: "PRESS"}},
		Wood: tracker.Wood{Boards: []tracker.Board{{Name: "oak 1"}, {Name: "Oak-1"}, {Name: "oak 2"}}},
	}
	want := []string{`the rigs "press" and "PRESS" differ only in case, spaces or signs`, `the boards "oak 1" and "Oak-1" differ only in case, spaces or signs`}
	var got []string
	for _, p := range Names("x.toml", &s) {
		got = append(got, p.Text)
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
