package design_test

import (
	"fmt"
	"testing"

	"soaktag/tracker"
	"soaktag/tracker/design"
)

// Two groups of n at 15 %: the difference found 4 times in 5 is 46, 36 and
// 27 % for n = 3, 4, 6 read as 100 ln(ratio), the spread pooled over two
// groups; worked by hand. Nine single specimens: only the borrowed scatter.
func TestTell(t *testing.T) {
	study := tracker.Study{Adhesives: []tracker.Adhesive{{Key: "A"}, {Key: "B"}, {Key: "ASH", SolidWood: true}},
		Treatments: []tracker.Treatment{{Key: "dry", Replicates: 4}, {Key: "soaked", Replicates: 4}}}
	all, err := design.Tell(&study)
	if err != nil {
		t.Fatal(err)
	}
	got := ""
	for _, x := range all {
		got += fmt.Sprintf("%v n %d of %d: %.2f %.2f by chance %.2f; ", x.Treatments, x.N, x.K, x.Pair, x.All, x.ByChance)
		if x.Sure < x.All {
			t.Errorf("surely %v, if alike %v", x.Sure, x.All)
		}
	}
	want := "[dry soaked] n 4 of 2: 1.43 1.43 by chance 0.37; [] n 6 of 2: 1.31 1.31 by chance 0.27; [] n 8 of 2: 1.25 1.25 by chance 0.20; [] n 10 of 2: 1.22 1.22 by chance 0.16; "
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	for i := range 7 {
		study.Adhesives = append(study.Adhesives, tracker.Adhesive{Key: fmt.Sprint(i)})
	}
	study.Treatments = []tracker.Treatment{{Key: "soaked", Replicates: 1}}
	all, err = design.Tell(&study)
	if err != nil || len(all) != 4 || all[0].K != 9 || !(all[0].All > all[0].Pair && all[0].Pair > 1.8 && all[0].ByChance > 0.3) {
		t.Errorf("nine single specimens: %+v, %v", all, err)
	}
}

func TestNothingToTellOfOneAdhesive(t *testing.T) {
	all, err := design.Tell(&tracker.Study{Adhesives: []tracker.Adhesive{{Key: "A"}}, Treatments: []tracker.Treatment{{Replicates: 4}}})
	if err != nil || all != nil {
		t.Errorf("%v, %v", all, err)
	}
}
