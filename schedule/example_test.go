package schedule_test

import (
	"fmt"

	"soaktag/schedule"
)

// A soak with more room behind it than before it, and an interval of which the
// plan says nothing but a length.
func ExampleParsePlanned() {
	for _, text := range []string{"7 d + 4 h - 30 min", "14 d", "at most 30 min"} {
		p, err := schedule.ParsePlanned(text)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(p.Length, "early", p.Early, "late", p.Late, "assumed", p.Assumed)
	}
	// Output:
	// 168h0m0s early 30m0s late 4h0m0s assumed false
	// 336h0m0s early 16h48m0s late 16h48m0s assumed true
	// 30m0s early 0s late 0s assumed false
}
