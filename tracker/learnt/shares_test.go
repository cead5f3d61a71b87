package learnt

import (
	"testing"

	"soaktag/tracker"
)

func TestSharesAreAddedUpOverStudies(t *testing.T) {
	a, b := first, second
	a.mishaps = mishaps{tries: 10, dealt: 12, failed: []string{"2026-03-01", "2026-03-01"}}
	b.mishaps = mishaps{tries: 6, dealt: 6, lost: 1}
	got := shares([]Past{a, b}, &tracker.Study{})
	if len(got) != 2 || got[0].X != 2 || got[0].N != 16 || !got[0].OneDay || got[1].X != 1 || got[1].N != 18 {
		t.Errorf("%+v", got)
	}
	b.failed = []string{"2026-04-01"}
	if got := shares([]Past{a, b}, &tracker.Study{})[0]; got.OneDay || got.X != 3 {
		t.Errorf("on two days: %+v", got)
	}
	if got := shares([]Past{{Study: &tracker.Study{}}}, &tracker.Study{}); len(got) != 0 {
		t.Errorf("of nothing: %+v", got)
	}
}
