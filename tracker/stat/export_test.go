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

// Orders calls found for every pair that Judge sets in an order at 95 %, and tukey
// for every pair that Tukey-Kramer alone tells apart. It leaves the limits out, which
// take most of the time.
func Orders(all []Contender, found, tukey func(a, b int)) error {
	zeros, err := zerosOf(all)
	if err != nil {
		return err
	}
	j := newJudge(all, zeros, 0.95)
	for a := range all {
		for b := a + 1; b < len(all); b++ {
			if j.pair(a, b).Better != 0 {
				found(a, b)
			}
			x, y := j.values.read[a], j.values.read[b]
			if j.values.pooled > 0 && x.n > 0 && y.n > 0 && j.values.width.beyond(math.Abs(x.mean-y.mean), j.values.se(x, y)) < 0.05 {
				tukey(a, b)
			}
		}
	}
	return nil
}
