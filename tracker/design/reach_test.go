package design_test

import (
	"fmt"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/design"
)

// Source: R 4.2.2, the formula of stat.HalfWidth with qt and qchisq, at a scatter of
// 15 % and 80 times in 100: 0.297 of four, 0.473 of three; 6 and 14 for 20 and 10 %.
func TestMeans(t *testing.T) {
	study := tracker.Study{Adhesives: []tracker.Adhesive{{Key: "A"}, {Key: "ASH", SolidWood: true}},
		Treatments: []tracker.Treatment{{Key: "dry", Replicates: 4}, {Key: "soaked", Replicates: 8}, {Key: "none"}}}
	if got, want := fmt.Sprint(design.Means(&study)), "{4 0.297 [{0.2 6} {0.1 14}]}"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	study.Treatments[1].Replicates = 3
	if got := design.Means(&study); got.N != 3 || got.Within != 0.473 {
		t.Errorf("the fewest count: %+v", got)
	}
	study.Treatments[0].Replicates = 1
	if got := design.Means(&study); got.N != 1 || got.Within != 0 || len(got.Needs) != 2 {
		t.Errorf("one has no limits: %+v", got)
	}
	if got := design.Means(&tracker.Study{}); got.N != 0 || got.Needs != nil {
		t.Errorf("nothing planned: %+v", got)
	}
}
