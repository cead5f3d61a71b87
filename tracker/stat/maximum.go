package stat

import (
	"fmt"
	"math"
)

// A sample holds observations of one or several groups, moved and scaled so
// that arithmetic is of the order of one: y = (x - centre of the group)/scale.
type sample struct {
	shape   shape
	rows    []row
	centres []float64 // lowest exact value of each group
	scale   float64   // greatest distance above a centre; zero without any spread
	exact   int
	logs    float64 // sum of the exact values as they came
}

type row struct {
	y     float64
	bound Bound
	group int
}

// farBelow stands for any bound so low that it says nothing; its square is
// still a number.
const farBelow = -1e100

// newSample needs an exact value in every group; ErrGroups otherwise.
func newSample(own shape, groups [][]Observation) (sample, error) {
	s := sample{shape: own, centres: make([]float64, len(groups))}
	for g, obs := range groups {
		lowest, ok := lowestExact(obs)
		if !ok {
			return sample{}, fmt.Errorf("group %d has no exact value: %w", g+1, ErrGroups)
		}
		s.centres[g] = lowest
		for _, o := range obs {
			s.scale = max(s.scale, o.Value-lowest)
			if o.Bound == Exact {
				s.exact, s.logs = s.exact+1, s.logs+o.Value
			}
		}
	}
	if math.IsInf(s.scale, 1) {
		return sample{}, ErrRange
	}
	if s.scale > 0 {
		s.fill(groups)
	}
	return s, nil
}

func lowestExact(obs []Observation) (lowest float64, ok bool) {
	lowest = math.Inf(1)
	for _, o := range obs {
		if o.Bound == Exact {
			lowest, ok = min(lowest, o.Value), true
		}
	}
	return lowest, ok
}

func (s *sample) fill(groups [][]Observation) {
	for g, obs := range groups {
		for _, o := range obs {
			y := max(farBelow, (o.Value-s.centres[g])/s.scale)
			s.rows = append(s.rows, row{y, o.Bound, g})
		}
	}
}

// unscale leads back to the scale of the values, for a sample of one group.
func (s sample) unscale(y float64) float64 { return s.centres[0] + s.scale*y }

// ofValues turns the log-likelihood of the scaled sample into that of the
// values as they came; a density of logarithms carries a factor 1/x.
func (s sample) ofValues(l float64, f Family) float64 {
	l -= float64(s.exact) * math.Log(s.scale)
	if f != Normal {
		l -= s.logs
	}
	return l
}

// A point is 1/sigma, and median/sigma of each group: z = theta y - lambda. In
// these the log-likelihood is concave, so there is one top and Newton's way to
// it cannot be caught elsewhere.
//
// Source: Olsen (1978), Econometrica 46, 1211-1215; Burridge (1981).
type point struct {
	theta  float64
	lambda []float64
}

// A hill is the log-likelihood at a point with its gradient and its
// information, minus the second derivatives. The information has the form of
// an arrow: groups meet only in theta.
type hill struct {
	at                   point
	l                    float64
	theta, thetaTheta    float64
	lambda, lambdaLambda []float64
	thetaLambda          []float64
}

func (s sample) at(p point) hill {
	k := len(p.lambda)
	all := make([]float64, 3*k)
	h := hill{at: p, lambda: all[:k], lambdaLambda: all[k : 2*k], thetaLambda: all[2*k:]}
	r := float64(s.exact)
	h.l, h.theta, h.thetaTheta = r*math.Log(p.theta), r/p.theta, r/p.theta/p.theta
	for _, row := range s.rows {
		c := s.shape.of(row.bound, p.theta*row.y-p.lambda[row.group])
		h.l += c.value
		h.theta += row.y * c.slope
		h.thetaTheta += row.y * row.y * c.bend
		h.lambda[row.group] -= c.slope
		h.lambdaLambda[row.group] += c.bend
		h.thetaLambda[row.group] -= row.y * c.bend
	}
	return h
}

// schur is the information about theta when every lambda follows.
func (h hill) schur() float64 {
	rest := h.thetaTheta
	for g, b := range h.thetaLambda {
		rest -= b * b / h.lambdaLambda[g]
	}
	return rest
}

// step is Newton's step, and the gain it promises twice over.
func (h hill) step() (step point, gain float64) {
	step.theta = h.theta
	for g, b := range h.thetaLambda {
		step.theta -= b * h.lambda[g] / h.lambdaLambda[g]
	}
	step.theta /= h.schur()
	gain = h.theta * step.theta
	step.lambda = make([]float64, len(h.lambda))
	for g, b := range h.thetaLambda {
		step.lambda[g] = (h.lambda[g] - b*step.theta) / h.lambdaLambda[g]
		gain += h.lambda[g] * step.lambda[g]
	}
	return step, gain
}

func (p point) plus(step point, share float64) point {
	next := point{p.theta + share*step.theta, make([]float64, len(p.lambda))}
	for g := range p.lambda {
		next.lambda[g] = p.lambda[g] + share*step.lambda[g]
	}
	return next
}

// settled is a promised gain too small to be told from rounding: two steps
// before it the error is squared away.
const settled = 1e-22

// maximum climbs by Newton's steps, halved while they do not gain.
func (s sample) maximum() (hill, error) {
	here := s.at(s.start())
	for range 200 {
		step, gain := here.step()
		if gain < settled {
			return here, nil
		}
		next, ok := s.gain(here, step, gain)
		if !ok {
			break
		}
		here = next
	}
	if _, gain := here.step(); gain < 1e-12 {
		return here, nil
	}
	return hill{}, ErrNoMaximum
}

// gain takes the step, or the first half, quarter ... of it that leads up.
func (s sample) gain(here hill, step point, promised float64) (hill, bool) {
	for share := 1.0; share > 1e-12; share /= 2 {
		p := here.at.plus(step, share)
		if !(p.theta > 0) {
			continue
		}
		// Near the top rounding hides the gain; there Newton's step is safe.
		if next := s.at(p); next.l >= here.l+share*promised/1e4 || promised < 1e-9 {
			return next, true
		}
	}
	return hill{}, false
}

// start treats bounds as exact, and leaves out those below all exact values.
func (s sample) start() point {
	sum, count := make([]float64, len(s.centres)), make([]float64, len(s.centres))
	squares, n := 0.0, 0.0
	for _, r := range s.rows {
		if r.y >= 0 {
			sum[r.group] += r.y
			count[r.group]++
		}
	}
	for _, r := range s.rows {
		if d := r.y - sum[r.group]/count[r.group]; r.y >= 0 {
			squares, n = squares+d*d, n+1
		}
	}
	p := point{math.Sqrt(n / squares), sum}
	for g := range sum {
		p.lambda[g] = p.theta * sum[g] / count[g]
	}
	return p
}

// variance of the median of group g at m, on the scale of the sample.
func (h hill) variance(m float64, g int) float64 {
	off := m + h.thetaLambda[g]/h.lambdaLambda[g]
	return (1/h.lambdaLambda[g] + off*off/h.schur()) / h.at.theta / h.at.theta
}
