package schedule

import "testing"

// What the clock knows of each stage, in whichever pass; a plan's own stage is
// nothing of it, though it may begin with the same letters.
func TestNatures(t *testing.T) {
	type is struct{ wet, bonds, prepares, renews bool }
	for stage, want := range map[Stage]is{
		Cut: {prepares: true}, Planing: {prepares: true, renews: true}, GlueUp: {bonds: true}, ClampRemoval: {bonds: true},
		Immersion: {wet: true}, LiftOut: {wet: true}, Break: {},
		Pass(Immersion, 2): {wet: true}, Pass(LiftOut, 10): {wet: true},
		"boil": {}, "immersion bath": {}, "lift-outs": {}, "glue-up 2": {},
	} {
		if got := (is{stage.Wet(), stage.Bonds(), stage.Prepares(), stage.Renews()}); got != want {
			t.Errorf("%s is %+v, want %+v", stage, got, want)
		}
	}
}

// Every number of a pass is read back, whatever its digits.
func TestPassReadsBack(t *testing.T) {
	for n := 1; n < 1200; n++ {
		if stage, got := PassOf(Pass(LiftOut, n)); stage != LiftOut || got != n {
			t.Errorf("pass %d is %s, %d", n, stage, got)
		}
	}
}
