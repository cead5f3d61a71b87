package learnt

import (
	"slices"

	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/stat"
)

// nineInTen is how sure spares are to last.
const nineInTen = 0.9

// A ShareKind is what went wrong.
type ShareKind int

const (
	RigFailed ShareKind = iota // tries at which the rig gave way or slipped, of all tries
	LostBonds                  // specimens that were lost, of all dealt
	FellApart                  // specimens that fell apart before any load, of all of one adhesive and treatment that were to be broken
)

// A Share is how often something went wrong, and what that foretells of a new plan.
type Share struct {
	Kind                ShareKind
	Adhesive, Treatment string // of FellApart
	X, N                int
	OneDay              bool        // all X, two or more, on one day: they may have one cause
	Limits              stat.Limits // 95 %, Clopper and Pearson
	Next, Most          int         // of so many in the new plan not more than Most, nine times in ten; both 0 of FellApart
}

// mishaps are what happened to lives, counted in a study.
type mishaps struct {
	tries, dealt, lost int
	failed             []string // the days on which the rig did
}

func mishapsOf(rec *tracker.Record) (m mishaps) {
	zone := rec.Zone()
	for _, life := range rec.Lives() {
		for _, t := range life.Tries {
			if m.tries++; t.How == tracker.FixtureGave || t.How == tracker.Slipped {
				m.failed = append(m.failed, t.At.From.In(zone).Format("2006-01-02"))
			}
		}
		if m.dealt++; life.End == tracker.Lost {
			m.lost++
		}
	}
	return m
}

// shares are those of all past studies; a kind of which nothing was counted is not there, nor
// what never fell apart.
func shares(past []Past, study *tracker.Study) (out []Share) {
	var m mishaps
	for _, p := range past {
		m.tries, m.dealt, m.lost = m.tries+p.tries, m.dealt+p.dealt, m.lost+p.lost
		m.failed = append(m.failed, p.failed...)
	}
	next := design.SpecimenCount(study)
	out = append(out,
		Share{Kind: RigFailed, X: len(m.failed), N: m.tries, Next: next, OneDay: oneDay(m.failed)},
		Share{Kind: LostBonds, X: m.lost, N: m.dealt, Next: next})
	out = append(out, fallen(past)...)
	for i := range out {
		out[i].work()
	}
	return slices.DeleteFunc(out, func(s Share) bool { return s.N == 0 })
}

func oneDay(days []string) bool {
	return len(days) > 1 && len(slices.Compact(slices.Sorted(slices.Values(days)))) == 1
}

// fallen are the adhesives and treatments of which some fell apart, by name.
func fallen(past []Past) (out []Share) {
	for _, p := range past {
		for _, g := range p.bonded() {
			at := slices.IndexFunc(out, func(s Share) bool { return s.Adhesive == g.Adhesive && s.Treatment == g.Treatment })
			if at < 0 {
				at, out = len(out), append(out, Share{Kind: FellApart, Adhesive: g.Adhesive, Treatment: g.Treatment})
			}
			out[at].X += g.FellApart
			out[at].N += g.N - g.LeftOut
		}
	}
	return slices.DeleteFunc(out, func(s Share) bool { return s.X == 0 })
}

func (s *Share) work() {
	e, err := stat.Proportion(s.X, s.N, 0.95)
	if err != nil {
		return // nothing counted
	}
	s.Limits = *e.Limits
	_, s.Most, _ = stat.ShareNext(s.X, s.N, s.Next, nineInTen) // counts are checked by Proportion
}
