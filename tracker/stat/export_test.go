package stat

import (
	"math"
	"sync"
)

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
// for every pair that Tukey-Kramer alone tells apart. It leaves out what takes most of
// the time: the limits, and all p of pairs that neither Tukey-Kramer nor their zeros tell
// apart, which so are in no order.
func Orders(all []Contender, found, tukey func(a, b int)) error {
	zeros, err := zerosOf(all)
	if err != nil {
		return err
	}
	j := newJudge(all, zeros, 0.95)
	critical, err := j.values.critical()
	if err != nil {
		return err
	}
	for a := range all {
		for b := a + 1; b < len(all); b++ {
			x, y := j.values.read[a], j.values.read[b]
			apart := critical > 0 && x.n > 0 && y.n > 0 && math.Abs(x.mean-y.mean) > critical*j.values.se(x, y)
			if apart {
				tukey(a, b)
			}
			if (apart || j.zeros[a][b] < 0.05) && j.pair(a, b).Better != 0 {
				found(a, b)
			}
		}
	}
	return nil
}

// criticals keeps the 95 % points of the studentised range by groups and degrees of freedom.
var criticals sync.Map

// critical is what Tukey-Kramer's range must exceed at 95 %; 0 without any spread.
func (r rivals) critical() (float64, error) {
	if r.pooled == 0 {
		return 0, nil
	}
	key := [2]float64{float64(r.width.K), r.width.DF}
	if q, ok := criticals.Load(key); ok {
		return q.(float64), nil
	}
	q, err := r.width.Quantile(0.95)
	criticals.Store(key, q)
	return q, err
}
