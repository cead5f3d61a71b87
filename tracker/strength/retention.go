package strength

import (
	"math"
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/stat"
)

// control returns the key of the plan's first control; empty without one.
func control(study *tracker.Study) string {
	for _, t := range study.Treatments {
		if t.Control {
			return t.Key
		}
	}
	return ""
}

// retention compares every treatment with the control, adhesive by adhesive.
func retention(study *tracker.Study, groups []Group, drift []tracker.IntervalDrift) []Retention {
	out := []Retention{}
	dry := control(study)
	for _, a := range study.Adhesives {
		for _, t := range study.Treatments {
			if t.Control || dry == "" {
				continue
			}
			d, w := match(of(groups, a.Key, dry), of(groups, a.Key, t.Key))
			if d == nil || w == nil {
				continue
			}
			r := retain(*w, *d)
			r.straggle(*w, *d, drift)
			for _, why := range unequal(among(study, drift, t.Key))(a.Key) {
				r.because(why.Reason)
			}
			for _, why := range aged(d.Adhesive, d.Treatment, drift) {
				r.because(why)
			}
			for _, why := range apart(drift, *d, *w, func(Group) bool { return false }) {
				r.because(why)
			}
			r.Comparable = len(r.Reasons) == 0
			r.Reasons = slices.Concat(r.Reasons, equals(*w, *d), fewUnsure(d.Adhesive, d.Treatment, drift), passedOver(groups, *d, *w))
			out = append(out, r)
		}
	}
	return out
}

func of(groups []Group, adhesive, treatment string) (out []Group) {
	for _, g := range groups {
		if g.Adhesive == adhesive && g.Treatment == treatment {
			out = append(out, g)
		}
	}
	return out
}

// match picks the dry and the wet group to compare: on one rig where both
// were broken on it, those with the most survivors; else the largest of each.
func match(dry, wet []Group) (d, w *Group) {
	best := 0
	for i := range dry {
		for j := range wet {
			n := min(len(dry[i].Survivors()), len(wet[j].Survivors()))
			if dry[i].Rig == wet[j].Rig && n > best {
				d, w, best = &dry[i], &wet[j], n
			}
		}
	}
	if best == 0 && len(dry) > 0 && len(wet) > 0 {
		d, w = largest(dry), largest(wet)
	}
	return d, w
}

// retain works out one retention with everything that weakens it.
func retain(wet, dry Group) Retention {
	r := Retention{Adhesive: wet.Adhesive, Treatment: wet.Treatment, Rig: wet.Rig, State: wet.State, Bound: wet.bound().Over(dry.bound())}
	w, d := wet.Survivors(), dry.Survivors()
	r.Ratio, r.Low, r.High = over(w, d)
	r.zeros(wet, dry)
	r.fieller(w, d)
	r.pair(w, d, wet, dry)
	if len(w) == 0 && wet.FellApart > 0 && wet.FellApart+wet.LeftOut == wet.N && len(d) > 0 {
		r.Ratio = new(float64)
		r.because(Reason{Kind: ZeroHasNoLimits, Who: wet.party(), N: wet.FellApart, Of: wet.N})
	}
	r.weigh(w, d, wet, dry)
	return r
}

// straggle names those of either group that were treated otherwise than it, or
// were broken at another age, and gives the ratio without them.
func (r *Retention) straggle(wet, dry Group, drift []tracker.IntervalDrift) {
	stray, age := strays(drift), agedOtherwise(drift)
	r.Stragglers = slices.Concat(stray.of(wet.Members), stray.of(dry.Members), age.of(dry.Members))
	w, d := stray.without(wet.Survivors()), age.without(stray.without(dry.Survivors()))
	if len(w)+len(d) == len(wet.Survivors())+len(dry.Survivors()) {
		return
	}
	r.RatioWithout, r.LowWithout, r.HighWithout = over(w, d)
}

// over is the ratio of two means with its limits. Where all of one read the same there
// are none: they would rest on the scatter of the other alone.
func over(wet, dry []Specimen) (ratio, low, high *float64) {
	e, err := stat.WelchLogRatio(shears(wet), shears(dry), level)
	if err != nil {
		return nil, nil, nil
	}
	if !equal(wet) && !equal(dry) {
		low, high = ends(e)
	}
	return &e.Value, low, high
}

// equals names those of which all readings are equal: the ratio has no limits.
func equals(of ...Group) (notes []Reason) {
	for _, g := range of {
		if equal(g.Survivors()) {
			notes = append(notes, Reason{Kind: EqualReadings, Who: Party{Treatment: g.Treatment}, N: g.Blocks})
		}
	}
	return notes
}

// zeros adds the ratio in which what fell apart is 0.
func (r *Retention) zeros(wet, dry Group) {
	r.MostFell = wet.mostFell() || dry.mostFell()
	if wet.FellApart+dry.FellApart > 0 && wet.Mean != nil && dry.Mean != nil && *dry.Mean > 0 {
		r.RatioWithZeros = number(*wet.Mean / *dry.Mean)
	}
}

// ZerosFirst reports that most fell apart, so that what is kept counts them as 0 before
// it speaks of the few that held; that these are too few for limits does not matter.
func (r Retention) ZerosFirst() bool {
	few := func(why Reason) bool {
		return why.Kind == OneSurvivor || why.Kind == OneBlock || why.Kind == PassedOver
	}
	other := slices.ContainsFunc(r.Reasons, func(why Reason) bool { return !few(why) })
	return r.MostFell && r.RatioWithZeros != nil && r.Ratio != nil && *r.Ratio > 0 && (r.Comparable || !other)
}

// mostFell reports whether more than half of g fell apart, of those that count.
func (g Group) mostFell() bool { return 2*g.FellApart > g.N-g.LeftOut }

// fieller adds the limits on the plain scale, which need no logarithm and show
// when the dry mean is too uncertain to divide by.
func (r *Retention) fieller(wet, dry []Specimen) {
	w, d := shears(wet), shears(dry)
	f, err := stat.Fieller(w, d, level)
	if err != nil || len(w) < 2 || len(d) < 2 || equal(wet) || equal(dry) {
		return
	}
	r.FiellerLow, r.FiellerHigh = ends(f.Estimate)
	r.FiellerShape = Text(f.Shape.String())
}

func (r *Retention) because(why Reason) {
	if !slices.Contains(r.Reasons, why) {
		r.Reasons = append(r.Reasons, why)
	}
}

// weigh gives the reasons that lie in the two groups themselves.
func (r *Retention) weigh(w, d []Specimen, wet, dry Group) {
	if wet.Rig != dry.Rig && wet.Rig != "" && dry.Rig != "" {
		r.because(Reason{Kind: OtherRigs, Who: Party{Treatment: wet.Treatment}, Where: wet.Rig, Than: Party{Treatment: dry.Treatment}, ThanWhere: dry.Rig})
	}
	if len(shears(w)) < 2 {
		r.because(few(w, Party{Treatment: wet.Treatment}))
	}
	if len(shears(d)) < 2 {
		r.because(few(d, Party{Treatment: dry.Treatment}))
	}
}

// ends returns an estimate's limits, nil without any. Limits without width come of
// equal readings, which hide what is finer than the gauge: they are none.
func ends(e stat.Estimate) (low, high *float64) {
	if e.Limits == nil || e.Limits.High-e.Limits.Low <= sameReading*math.Abs(e.Value) {
		return nil, nil
	}
	return &e.Limits.Low, &e.Limits.High
}

// sameReading is up to what part of a number a difference is only rounding.
const sameReading = 1e-9

// pair adds the ratio by board. Several survivors of a board go in by their
// geometric mean; boards that lack a survivor on one side are named.
func (r *Retention) pair(w, d []Specimen, wet, dry Group) {
	var ws, ds []float64
	for _, board := range boards(wet.Members, dry.Members) {
		x, errW := geometric(on(board, w))
		y, errD := geometric(on(board, d))
		if errW != nil || errD != nil {
			r.PairsLeftOut = append(r.PairsLeftOut, missing(board, wet.Members, dry.Members))
			continue
		}
		ws, ds = append(ws, x), append(ds, y)
	}
	r.Pairs = len(ws)
	if e, err := stat.PairedLogRatio(ws, ds, level); err == nil {
		r.PairedRatio = &e.Value
		r.PairedLow, r.PairedHigh = ends(e)
	}
}

// boards lists the boards of either side in order of their names.
func boards(sides ...[]Specimen) (names []string) {
	for _, side := range sides {
		for _, s := range side {
			if s.Board != "" && !slices.Contains(names, string(s.Board)) {
				names = append(names, string(s.Board))
			}
		}
	}
	slices.Sort(names)
	return names
}

// missing names a board and what kept its pair out.
func missing(board string, sides ...[]Specimen) LeftOutPair {
	p := LeftOutPair{Board: board}
	for _, s := range slices.Concat(sides...) {
		if string(s.Board) == board && !s.Survived() {
			p.Who = append(p.Who, s)
		}
	}
	return p
}

// on are the strengths of the specimens of a board, one a bonded block.
func on(board string, all []Specimen) []float64 {
	return shears(slices.DeleteFunc(slices.Clone(all), func(s Specimen) bool { return string(s.Board) != board }))
}
