package stat

import "errors"

// A Contender is what is known of one of several kinds that are to be set in order,
// on a scale that begins at zero.
type Contender struct {
	Exact   []float64 // the true values are these
	Limited []float64 // at least these; a mean takes them as they are
	AtLeast []float64 // at least these, and perhaps far more: in no mean
	Zeros   int       // nothing was left to measure: the true values count as 0
	Mean    float64   // of Exact, Limited and zeros: what it is ranked by

	// Division is what the gauge cannot tell apart, as a share of the values; 0: not known.
	Division float64
}

// A Ground is what a verdict rests on, or what forbids it.
type Ground int

// The grounds.
const (
	NothingFound  Ground = iota // no question finds a difference
	ByBoth                      // fewer zeros, and the values higher
	ByZeros                     // fewer zeros
	ByValues                    // the values higher
	Opposed                     // no order: fewer zeros of the one, the values or the mean higher of the other
	MoreZeros                   // no order: the values are higher of the one whose mean with zeros is not, or that zeros lean against
	MeansDisagree               // no order: the means rank them one way, the logarithms the other
	BoundsHide                  // no order: the lower one has bounds, which may hide a higher value
	OnlyPooled                  // no order: apart by the spread of all together, not by their own two
	RiskShared                  // no order: the values would be apart at the whole risk, of which zeros have half
)

// A Verdict is what may be said of two contenders.
type Verdict struct {
	A, B    int     // which
	Better  int     // 1: A is surely above B; -1: B above A; 0: no order
	Ground  Ground  // what that rests on, or what forbids an order
	PValues float64 // of the values, adjusted for all pairs; 1 where they can say nothing
	PZeros  float64 // of the shares of zeros, adjusted for all pairs
	Risk    float64 // PValues must lie under it: 1-level, or half of that where zeros could speak too
	Half    float64 // limits of ln(A/B) for all pairs at 1-Risk, ±, that fit PValues; 0: none
}

// P is the least risk at which either question finds a difference at 1-level; what
// forbids an order is not in it.
func (v Verdict) P(level float64) float64 {
	return min(v.PZeros, min(1, v.PValues*(1-level)/v.Risk))
}

// Judge gives a verdict on every pair. Two questions are asked of each: have they
// different shares of zeros (see closed), and are the values of one higher.
// For that, on the scale of logarithms, three things must agree:
//
//   - one spread pooled over all, by Tukey and Kramer;
//   - the pair's own two spreads (see ownP), p adjusted to 1 - (1-p)^sqrt(m) for
//     m = k(k-1)/2 pairs of k contenders with a value;
//   - where the lower one has bounds, its own spread again, from the fit of
//     FitCensored in which they are bounds, worth what they tell.
//
// The arithmetic means must rank as the logarithms do, an order must agree with
// Mean, and one by values is none where zeros lean against it (Fisher's p of the pair
// alone under 0.2). Where zeros could speak, however split, the values have half of the risk.
//
// Equal readings have a spread that is finer than the gauge, not none. So a mean is
// never taken to be known better than to a uniform error of one Division, variance
// Division²/12, and equal values whose Division is not known tell nothing surely.
//
// The chance that any two truly equal are set in an order is 6.5 % at most for
// 1-level = 5 %, with spreads up to 4 : 1 and two to nine contenders of two to eight
// (TestJudgeKeepsItsLevel); small groups stay well below 5.
//
// The error wraps ErrGroups for fewer than two, ErrLevel, ErrCount, or ErrNotFinite
// and ErrNotPositive of a value; Mean and Division must be finite.
//
// Source: resolution, JCGM 100:2008 (GUM), F.2.2.1, that readings do not average it
// out being our choice. Kramer (1956), Welch (1947) as in TukeyKramer and ownP; the root of m:
// Tukey, Ciminera and Heyse (1985), Biometrics 41, 295-301 (from memory), made for
// several endpoints; that it fits pairs is our simulation, not their theorem.
func Judge(all []Contender, level float64) ([]Verdict, error) {
	if len(all) < 2 {
		return nil, ErrGroups
	}
	if !(level > 0 && level < 1) {
		return nil, ErrLevel
	}
	zeros, err := zerosOf(all)
	if err != nil {
		return nil, err
	}
	j := newJudge(all, zeros, level)
	q := j.values.quantile()
	var out []Verdict
	for a := range all {
		for b := a + 1; b < len(all); b++ {
			v := j.pair(a, b)
			v.Half = j.values.half(j.values.read[a], j.values.read[b], q)
			out = append(out, v)
		}
	}
	return out, nil
}

// zerosOf checks the contenders and takes their shares of zeros.
func zerosOf(all []Contender) (closed, error) {
	var shares []Share
	for _, c := range all {
		for _, xs := range [][]float64{c.Exact, c.Limited, c.AtLeast} {
			if err := checkPositive(xs); err != nil && !errors.Is(err, ErrNoData) {
				return closed{}, err
			}
		}
		if err := checkFinite([]float64{c.Mean, c.Division}); err != nil {
			return closed{}, err
		}
		shares = append(shares, c.Share())
	}
	return newClosed(shares)
}

// Share is how many of all are zeros.
func (c Contender) Share() Share {
	return Share{c.Zeros, c.Zeros + len(c.Exact) + len(c.Limited) + len(c.AtLeast)}
}

// A judge holds what all pairs share.
type judge struct {
	all         []Contender
	level, risk float64
	zeros       [][]float64
	values      rivals
}

func newJudge(all []Contender, zeros closed, level float64) judge {
	j := judge{all: all, level: level, risk: 1 - level, zeros: zeros.of(len(all))}
	if zeros.couldSpeak(1 - level) {
		j.risk /= 2
	}
	j.values = newRivals(all, j.risk)
	return j
}

func (j judge) pair(a, b int) Verdict {
	v := Verdict{A: a, B: b, PZeros: j.zeros[a][b], Risk: j.risk}
	higher := j.values.higher(&v, j.level)
	fewer := 0
	if v.PZeros < 1-j.level {
		x, y := j.all[a].Share(), j.all[b].Share()
		fewer = sign(float64(y.Of*x.N - x.Of*y.N))
	}
	v.join(higher, fewer)
	v.hold(sign(j.all[a].Mean - j.all[b].Mean))
	if v.Ground == ByValues && j.all[a].Share().leans(j.all[b].Share()) == v.Better {
		v.Better, v.Ground = 0, MoreZeros
	}
	return v
}

// leans is 1 where more of s counts, and of a pair alone chance would have it in less
// than one of five; -1 where more of t does; else 0. It only takes orders back.
func (s Share) leans(t Share) int {
	if s.N == 0 || t.N == 0 || s.against(t) >= 0.2 {
		return 0
	}
	return sign(float64(s.Of*t.N - t.Of*s.N))
}

// join makes one verdict of both answers, each 1, -1 or 0.
func (v *Verdict) join(higher, fewer int) {
	switch {
	case fewer != 0 && higher == fewer:
		v.Better, v.Ground = fewer, ByBoth
	case fewer != 0 && higher == -fewer:
		v.Ground = Opposed
	case fewer != 0:
		v.Better, v.Ground = fewer, ByZeros
	case higher != 0:
		v.Better, v.Ground = higher, ByValues
	}
}

// hold takes back an order that the means do not show.
func (v *Verdict) hold(side int) {
	switch {
	case v.Better == 0 || v.Better == side:
		return
	case v.Ground == ByValues:
		v.Ground = MoreZeros
	default:
		v.Ground = Opposed
	}
	v.Better = 0
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}
