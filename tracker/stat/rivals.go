package stat

import (
	"math"
	"slices"
)

// Rivals are the values of all contenders on the scale of logarithms, taken twice:
// as read, with Limited as exact and AtLeast left out, and with both as bounds.
type rivals struct {
	read    []scatter
	bounded []scatter
	plain   []float64 // means as read, on the plain scale
	limited []bool    // has bounds
	k       int       // contenders with a value as read
	pooled  float64   // variance; zero where nothing can be said
	width   Studentised
	risk    float64
}

func newRivals(all []Contender, risk float64) rivals {
	r := rivals{risk: risk}
	var read [][]float64
	for _, c := range all {
		xs := slices.Concat(c.Exact, c.Limited)
		s := scatterOf(logsOf(xs)).resolved(c.Division)
		plain, _ := Mean(xs)
		r.read, r.plain = append(r.read, s), append(r.plain, plain)
		r.bounded = append(r.bounded, c.bounded(s))
		r.limited = append(r.limited, len(c.Limited)+len(c.AtLeast) > 0)
		if len(xs) > 0 {
			read = append(read, logsOf(xs))
		}
	}
	if _, ms, df, err := pooled(read); err == nil {
		r.k, r.pooled, r.width = len(read), ms, Studentised{K: len(read), DF: float64(df)}.tabled()
	}
	return r
}

func logsOf(xs []float64) (logs []float64) {
	for _, x := range xs {
		logs = append(logs, math.Log(x))
	}
	return logs
}

// scatterOf is that of plain values. Of one the variance is zero, and n says so.
func scatterOf(xs []float64) scatter {
	mean, variance, err := meanVariance(xs)
	if err != nil {
		return scatter{}
	}
	return scatter{mean, variance, float64(len(xs))}
}

// bounded is the scatter with bounds as bounds; none with fewer than two exact
// values, and as read without bounds.
func (c Contender) bounded(read scatter) scatter {
	if len(c.Limited)+len(c.AtLeast) == 0 {
		return read
	}
	var obs []Observation
	for _, x := range logsOf(c.Exact) {
		obs = append(obs, Observation{Value: x})
	}
	for _, x := range logsOf(slices.Concat(c.Limited, c.AtLeast)) {
		obs = append(obs, Observation{Value: x, Bound: AtLeast})
	}
	fit, err := FitCensored(obs, Normal, 0.95) // at any level: no limit is used
	if err != nil {
		return scatter{}
	}
	return scatter{fit.Value, fit.SE * fit.SE, fit.Worth}.resolved(c.Division)
}

// higher asks whose values are surely higher: 1 those of v.A, -1 those of v.B, 0
// neither. It fills in p and what forbids an answer.
func (r rivals) higher(v *Verdict, level float64) int {
	a, b := r.read[v.A], r.read[v.B]
	v.PValues = 1
	if r.pooled == 0 || a.n == 0 || b.n == 0 {
		return 0
	}
	d := a.mean - b.mean
	together, own := r.width.beyond(math.Abs(d), r.se(a, b)), r.rooted(ownP(a, b))
	v.PValues = max(together, own)
	switch {
	case v.PValues < r.risk:
		return r.stands(v, sign(d))
	case together < 1-level && own >= 1-level:
		v.Ground = OnlyPooled
	case v.PValues < 1-level:
		v.Ground = RiskShared
	}
	return 0
}

// stands asks what could still overturn a difference on one side.
func (r rivals) stands(v *Verdict, side int) int {
	top, low := v.A, v.B
	if side < 0 {
		top, low = low, top
	}
	if !(r.plain[top] > r.plain[low]) {
		v.Ground = MeansDisagree
		return 0
	}
	if !r.limited[low] {
		return side
	}
	if p := r.over(r.read[top], r.bounded[low]); p > v.PValues {
		v.PValues = p
	}
	if v.PValues >= r.risk {
		v.Ground = BoundsHide
		return 0
	}
	return side
}

// over is the p of one as read above another with its bounds.
func (r rivals) over(top, low scatter) float64 {
	if low.n < 2 || top.mean <= low.mean {
		return 1
	}
	return r.rooted(ownP(top, low))
}

// se is what TukeyKramer divides a difference by.
func (r rivals) se(a, b scatter) float64 { return math.Sqrt(r.pooled / 2 * (1/a.n + 1/b.n)) }

// quantile is that of the pooled range at the risk; zero where nothing can be said.
func (r rivals) quantile() float64 {
	if r.pooled == 0 {
		return 0
	}
	q, err := r.width.Quantile(1 - r.risk)
	if err != nil {
		return 0
	}
	return q
}

// half is the difference at which both spreads together would just find it, q the
// quantile; 0 where nothing can be said.
func (r rivals) half(a, b scatter, q float64) float64 {
	if q == 0 || min(a.n, b.n) < 2 || !spreads(a, b) {
		return 0
	}
	return max(q*r.se(a, b), ownHalf(a, b, single(r.risk, r.k)))
}

// rooted adjusts p for the pairs of k that share their members: 1 - (1-p)^sqrt(m),
// m = k(k-1)/2.
func (r rivals) rooted(p float64) float64 { return -math.Expm1(root(r.k) * math.Log1p(-p)) }

// single is the p of one pair that comes to risk for the pairs of k, as rooted has it.
func single(risk float64, k int) float64 { return -math.Expm1(math.Log1p(-risk) / root(k)) }

func root(k int) float64 { return math.Sqrt(float64(k*(k-1)) / 2) }
