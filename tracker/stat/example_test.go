package stat_test

import (
	"fmt"

	"soaktag/tracker/stat"
)

// Five bonds, in MPa: at 7 the wood gave way, so that the bond held 7 or more.
func ExampleKaplanMeier() {
	steps, err := stat.KaplanMeier([]stat.Observation{{Value: 5}, {Value: 6}, {Value: 7, Bound: stat.AtLeast}, {Value: 8}, {Value: 9}}, 0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range steps {
		fmt.Printf("%.0f MPa: %d left, %.0f %% stronger\n", s.At, s.AtRisk, 100*s.Survival)
	}
	// Output:
	// 5 MPa: 5 left, 80 % stronger
	// 6 MPa: 4 left, 60 % stronger
	// 8 MPa: 2 left, 30 % stronger
	// 9 MPa: 1 left, 0 % stronger
}
