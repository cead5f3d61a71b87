package tracker

import (
	"testing"
	"time"

	"soaktag/schedule"
)

// A code that was only matched in a photograph waits until somebody compared
// it: then it counts, at the time of the photograph.
func TestAProbableCodeCountsOnceConfirmed(t *testing.T) {
	s, _ := codes()
	scan := Event{ID: "photo", Kind: Staged, Stage: schedule.GlueUp, Code: s, At: schedule.At(noon), Recorded: noon, Via: "photo", Doubt: ProbableCode + "compare it"}
	yes := Event{ID: "yes", Kind: Accepted, Target: "photo", Rule: "probable code", Code: s, At: schedule.At(noon.Add(time.Hour)), Recorded: noon.Add(time.Hour), Reason: "seen"}
	r := foldAll(t, []Event{plainBegun(), scan})
	if life := lifeOf(t, r, s); len(life.Steps) != 0 || rules(life.Marks, true) != "probable code" {
		t.Errorf("unconfirmed: %d steps, asks %q", len(life.Steps), rules(life.Marks, true))
	}
	if _, err := r.Add(yes); err != nil {
		t.Fatal(err)
	}
	for name, rec := range map[string]*Record{"added": r, "folded again": foldAll(t, []Event{yes, scan, plainBegun()})} {
		if life := lifeOf(t, rec, s); len(life.Steps) != 1 || rules(life.Marks, true) != "" {
			t.Errorf("%s: %d steps, asks %q", name, len(life.Steps), rules(life.Marks, true))
		}
	}
}

func lifeOf(t *testing.T, r *Record, code string) *Life {
	t.Helper()
	sp, _, err := r.Resolve(code)
	if err != nil {
		t.Fatal(err)
	}
	return r.Life(sp.Code)
}
