package stat

import "math"

// WidestApart is the greatest |difference|/SE of TukeyCensored, with its
// groups and degrees of freedom. The simulation needs no limits, and TukeyCensored
// works them out at each call.
func WidestApart(groups [][]Observation) (widest float64, d Studentised, err error) {
	s, err := commonSample(groups)
	if err != nil {
		return 0, d, err
	}
	top, err := s.maximum()
	if err != nil {
		return 0, d, err
	}
	n, k := s.worth(top), len(groups)
	if d = (Studentised{K: k, DF: n - float64(k)}.tabled()); d.DF < 1 {
		return 0, d, ErrGroups
	}
	for a := range groups {
		for b := range a {
			apart := (top.at.lambda[a] - top.at.lambda[b]) / top.at.theta
			centres := (s.centres[a] - s.centres[b]) / s.scale
			se := math.Sqrt(top.varianceApart(apart, a, b) * n / d.DF / 2)
			widest = max(widest, math.Abs(apart+centres)/se)
		}
	}
	return widest, d, nil
}
