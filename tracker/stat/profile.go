package stat

import "math"

// cutOff is n ln(1 + t²/(n-1)), n above one: with it the profile interval of a
// normal sample without bounds is the t interval.
func cutOff(n, level float64) (float64, error) {
	t, err := TQuantile(1-(1-level)/2, n-1)
	if err != nil {
		return 0, err
	}
	return n * math.Log1p(t*t/(n-1)), nil
}

// A profile is the log-likelihood of a median with the scale that suits it
// best, and its slope along the median.
type profile struct{ l, slope, theta float64 }

// profile finds theta for a given median. In theta the log-likelihood is
// concave, so along ln theta it has one top: Newton's steps inside a bracket.
func (s sample) profile(m, theta float64) profile {
	low, high := 0.0, math.Inf(1)
	for range 200 {
		l, slope, up, bend := s.along(m, theta)
		if up > 0 {
			low = theta
		} else {
			high = theta
		}
		step := up / bend
		if math.Abs(step) < 1e-9 {
			return profile{l, slope, theta}
		}
		theta = between(theta, step, low, high)
	}
	l, slope, _, _ := s.along(m, theta)
	return profile{l, slope, theta}
}

// along returns the log-likelihood at median m, its slope along m, and its
// slope and bend along ln theta.
func (s sample) along(m, theta float64) (l, slope, up, bend float64) {
	r := float64(s.exact)
	l, up = r*math.Log(theta), r
	for _, row := range s.rows {
		z := theta * (row.y - m)
		c := s.shape.of(row.bound, z)
		l += c.value
		slope -= theta * c.slope
		up += z * c.slope
		bend += z*z*c.bend - z*c.slope
	}
	return l, slope, up, bend
}

// between takes a step on the logarithm of theta, at most a factor e², and
// halves the bracket where the step would leave it.
func between(theta, step, low, high float64) float64 {
	if !(math.Abs(step) <= 2) || step > 0 != (low == theta) {
		step = math.Copysign(2, -1)
		if low == theta {
			step = 2
		}
	}
	next := theta * math.Exp(step)
	if next > low && next < high {
		return next
	}
	return math.Sqrt(low) * math.Sqrt(high)
}

// limit walks from the top m by step, doubled until the profile lies under
// target, and returns the point between where it crosses. The profile falls
// all the way: points above any height form a convex set in (theta, lambda),
// and the rays that meet a convex set are neighbours.
func (s sample) limit(m, step, target, theta float64) (float64, error) {
	inside, outside := m, m+step
	for range 200 {
		p := s.profile(outside, theta)
		if p.l < target {
			return s.crossing(inside, outside, target, p.theta), nil
		}
		inside, theta = outside, p.theta
		step *= 2
		outside += step
	}
	return 0, ErrRange
}

// crossing narrows a bracket by Newton's steps, halving it where they leave it.
func (s sample) crossing(inside, outside, target, theta float64) float64 {
	x := outside
	for range 200 {
		p := s.profile(x, theta)
		theta = p.theta
		if p.l < target {
			outside = x
		} else {
			inside = x
		}
		next := x - (p.l-target)/p.slope
		if !(next > min(inside, outside) && next < max(inside, outside)) {
			next = inside/2 + outside/2
		}
		if math.Abs(next-x) <= 1e-13*(1/theta+math.Abs(x)) {
			return next
		}
		x = next
	}
	return x
}
