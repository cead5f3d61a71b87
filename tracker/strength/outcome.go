package strength

import (
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
	"soaktag/tracker/stat"
)

// Of returns one specimen with its strength, by the plan's rigs and limits.
//
// The first try that parted the bond is the break, unless a later one was accepted
// in its place; wood failure at or above the
// plan's limit makes it a lower bound. With none separated the highest reading
// is one, under the outcome of its try. A try that bottomed out gives no
// reading. Wood failure is what was judged at the break until both halves were
// read, whose mean supersedes it; where the break gave none, that of the half
// that was read. The result is provisional from a separated try until both
// halves have been read.
func Of(study *tracker.Study, life *tracker.Life) Specimen {
	s := Specimen{Code: life.Specimen.Code.Whole().String(), Name: Text(life.Specimen.Name),
		Adhesive: life.Specimen.Adhesive, Treatment: life.Specimen.Treatment, Board: Text(life.Specimen.Board),
		Outcome: NoneYet, Bound: stat.None, State: Text(life.State), Nominal: life.Nominal, Marks: marksOf(life),
		block: life.Specimen.BondedBlock}
	b := breaker{study: study, life: life, specimen: &s}
	b.judge()
	return s
}

// A breaker works out the strength of one specimen.
type breaker struct {
	study    *tracker.Study
	life     *tracker.Life
	specimen *Specimen
}

func (b breaker) judge() {
	if left := leftOut(b.life.End); left != "" {
		b.specimen.Outcome = left
		return
	}
	last := b.life.Break()
	switch {
	case last == nil:
		b.highest()
	case last.How == tracker.FellApart:
		b.fellApart(*last)
	default:
		b.broke(*last)
	}
}

// leftOut is the outcome of a specimen that was taken out of the count; empty
// for one that was not.
func leftOut(end tracker.Ending) Outcome {
	switch end {
	case tracker.Lost:
		return Lost
	case tracker.Damaged:
		return Damaged
	case tracker.Withdrawn:
		return Withdrawn
	}
	return ""
}

// fellApart counts as zero, and met no rig.
func (b breaker) fellApart(t tracker.TryAt) {
	b.specimen.Outcome, b.specimen.Bound = FellApart, stat.Zero
	b.specimen.ForceN, b.specimen.ShearMPa = new(float64), new(float64)
	b.wood(t.Try)
	b.state(t)
}

func (b breaker) broke(t tracker.TryAt) {
	s := b.specimen
	s.Outcome, s.Bound = Broke, stat.Exact
	for _, half := range b.life.Halves {
		if half != nil {
			s.HalvesRead++
		}
	}
	s.Provisional = s.HalvesRead < len(b.life.Halves) && !solidWood(b.study, s.Adhesive)
	b.wood(t.Try)
	if b.woodLimited() {
		s.Outcome, s.Bound = WoodLimited, stat.AtLeast
	}
	b.state(t)
	b.load(t)
	if s.ShearMPa == nil {
		s.Bound = stat.None
	}
}

// woodLimited reports whether so much wood failed that the bond is stronger
// than its reading. Solid wood has no bond.
func (b breaker) woodLimited() bool {
	return !solidWood(b.study, b.specimen.Adhesive) && limited(b.specimen.WoodFailure, b.study.Rule.WoodLimitedAt)
}

// solidWood reports whether specimens under a key have no bond: there the wood's
// own strength is what is asked for, and no lower bound.
func solidWood(study *tracker.Study, key string) bool {
	a := study.Adhesive(key)
	return a != nil && a.SolidWood
}

// limited compares a share in percent with a limit, inclusive. The slack only
// undoes the rounding of binary shares such as 0.55.
func limited(wood *float64, limit quantity.Share) bool {
	return wood != nil && *wood >= limit.Percent()-1e-9
}

// highest takes the try that loaded the bond most, of those that it survived.
func (b breaker) highest() {
	var best *tracker.TryAt
	most := -1.0
	for i, t := range b.life.Tries {
		if !t.How.Outlasts() {
			continue
		}
		if f, err := b.force(t.Try); err == nil && f.N() > most {
			best, most = &b.life.Tries[i], f.N()
		}
	}
	if best == nil {
		return
	}
	b.specimen.Outcome, b.specimen.Bound = Outcome(best.How.Outcome()), stat.AtLeast
	b.state(*best)
	b.load(*best)
}

// wood takes wood failure and mode from the faces of both halves, else from the
// break, else from one half.
func (b breaker) wood(t tracker.Try) {
	b.specimen.WoodFailure, b.specimen.Mode = percent(t.WoodFailure), Text(t.Mode)
	sum, n, mode := 0.0, 0, ""
	for _, f := range b.life.Halves {
		if f != nil && percent(&f.WoodFailure) != nil {
			sum, n = sum+f.WoodFailure, n+1
			mode = join(mode, f.Mode)
		}
	}
	both := n == len(b.life.Halves)
	if n > 0 && (both || b.specimen.WoodFailure == nil) {
		mean := sum / float64(n)
		b.specimen.WoodFailure = &mean
	}
	if mode != "" && (both || b.specimen.Mode == "") {
		b.specimen.Mode = Text(mode)
	}
}

// percent is x, or nil where x is no percentage.
func percent(x *float64) *float64 {
	if x == nil || !(*x >= 0 && *x <= 100) {
		return nil
	}
	return x
}

// join names both modes where the halves differ.
func join(a, b string) string {
	switch {
	case a == "" || a == b:
		return b
	case b == "":
		return a
	}
	return a + ", " + b
}

func (b breaker) state(t tracker.TryAt) {
	if t.State != "" {
		b.specimen.State = Text(t.State)
	}
}

func (b breaker) mark(m Mark) { b.specimen.Marks = append(b.specimen.Marks, m) }

func (b breaker) marked(rule string) bool {
	return slices.ContainsFunc(b.specimen.Marks, func(m Mark) bool { return m.Rule == rule })
}
