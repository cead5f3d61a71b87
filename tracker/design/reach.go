package design

import (
	"math"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

const level = 0.95 // of every interval in results

// A Reach is how far the limits of a group's mean may lie from it.
type Reach struct {
	N      int     // of each, in the group with the fewest
	Within float64 // so far or less with Power, as a share of the mean; 0 for one, which has no limits
	Needs  []Need  // the same, the other way round
}

// A Need is how many of each it takes to know a mean Within, with Power.
type Need struct {
	Within float64
	N      int
}

// Means works out how well the means of a study will be known if strengths scatter as
// assumed, and how many it takes to know them within 20 and 10 %; nothing where no
// adhesive is planned.
func Means(s *tracker.Study) (r Reach) {
	for _, t := range s.Treatments {
		if n := fewest(s, t); n > 0 && (r.N == 0 || n < r.N) {
			r.N = n
		}
	}
	if r.N == 0 {
		return r
	}
	if h, err := stat.HalfWidth(r.N, Scatter, level, Power); err == nil {
		r.Within = math.Round(h*1000) / 1000
	}
	for _, within := range []float64{2 * Ahead, Ahead} {
		if n, err := stat.SampleSizeMean(within, Scatter, level, Power); err == nil {
			r.Needs = append(r.Needs, Need{within, n})
		}
	}
	return r
}
