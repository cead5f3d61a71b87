package tracker

import (
	"slices"
	"testing"
	"time"

	"soaktag/schedule"
)

// Every stage that every study has is in the table, in its order, with all that
// is asked of one; what is done on days of the calendar takes time.
func TestWorkOfEveryStage(t *testing.T) {
	var order []schedule.Stage
	for _, w := range Works() {
		if slices.Contains(schedule.Stages(), w.Stage) {
			order = append(order, w.Stage)
		}
	}
	if !slices.Equal(order, schedule.Stages()) {
		t.Errorf("the table has %q, want %q", order, schedule.Stages())
	}
	for i, stage := range schedule.Stages() {
		w := WorkOf(stage)
		if w.Do == "" || w.Caution == "" || len(w.Boxes) == 0 || w.Stage != stage {
			t.Errorf("%s: %+v", stage, w)
		}
		if days := i >= slices.Index(schedule.Stages(), schedule.GlueUp); days != (w.Hands > 0) {
			t.Errorf("%s takes %v of a person's time", stage, w.Hands)
		}
	}
}

// A stage is found under its name in any spelling, and with the number of a
// later pass; one that is not known asks for the usual.
func TestWorkOf(t *testing.T) {
	for _, name := range []schedule.Stage{"lift-out", "Lift Out", "LIFTOUT", "lift-out 2"} {
		if got := WorkOf(name).Boxes[1]; got != "mass after" {
			t.Errorf("%s: box %q", name, got)
		}
	}
	tea := WorkOf("tea break")
	if tea.Stage != "tea break" || tea.Do != "" || tea.Caution != "" || tea.Hands != time.Minute || !slices.Equal(tea.Boxes, []string{"time", "note"}) {
		t.Errorf("%+v", tea)
	}
}

func TestHands(t *testing.T) {
	s := &Study{Specimen: SpecimenPlan{TimePerBreak: 9 * time.Minute}}
	for stage, want := range map[schedule.Stage]time.Duration{"cut": 0, "glue-up": 4 * time.Minute, "clamp removal": time.Minute, "break": 9 * time.Minute, "immersion 2": time.Minute} {
		if got := s.Hands(stage); got != want {
			t.Errorf("%s: %v, want %v", stage, got, want)
		}
	}
}
