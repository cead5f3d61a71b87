package stat

import (
	"math"
	"testing"
)

// The table agrees with the integral it is made of, between its points too.
func TestRangeTableAgreesWithTheIntegral(t *testing.T) {
	for _, k := range []int{2, 3, 9, 50} {
		d := Studentised{K: k}
		fast := d.tabled()
		for w := 0.0; w < 20; w += 0.0137 {
			if diff := math.Abs(fast.within(w) - d.within(w)); diff > 2e-8 {
				t.Fatalf("k = %d: at %g they differ by %g", k, w, diff)
			}
		}
	}
}

func BenchmarkQuantile(b *testing.B) {
	for b.Loop() {
		if _, err := (Studentised{K: 6, DF: 18}).Quantile(0.95); err != nil {
			b.Fatal(err)
		}
	}
}
