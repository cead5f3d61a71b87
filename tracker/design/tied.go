package design

import (
	"slices"

	"soaktag/tracker"
)

// Tied are adhesives, or treatments of one, that are glued in one sitting only,
// where there are others: what that day did to them cannot be told from what they
// are.
type Tied struct{ Groups []TiedTo }

// A TiedTo is an adhesive with replicates and its one sitting; with a Treatment
// it is that alone.
type TiedTo struct {
	Adhesive, Treatment string
	Sitting             Sitting
}

// tied says what has a sitting to itself or shares one.
func tied(s *tracker.Study, list []Sitting) []Foreseen {
	var all Tied
	for _, a := range s.Adhesives {
		if x, ok := tiedTo(list, a.Key, ""); ok && replicated(s, a) {
			all.Groups = append(all.Groups, x)
			continue
		}
		for _, t := range s.Treatments {
			if x, ok := tiedTo(list, a.Key, t.Key); ok && Replicates(a, t) > 1 {
				all.Groups = append(all.Groups, x)
			}
		}
	}
	if len(list) < 2 || len(all.Groups) == 0 {
		return nil
	}
	return []Foreseen{note("day-tied", "specimen.clamps", all)}
}

// replicated reports whether a treatment of an adhesive has several bonds: of one
// alone nothing could be told anyway.
func replicated(s *tracker.Study, a tracker.Adhesive) bool {
	return slices.ContainsFunc(s.Treatments, func(t tracker.Treatment) bool { return Replicates(a, t) > 1 })
}

// tiedTo finds the one sitting of an adhesive, or of a treatment of it.
func tiedTo(list []Sitting, adhesive, treatment string) (TiedTo, bool) {
	of := func(b Glued) bool {
		return b.Adhesive == adhesive && (treatment == "" || b.Treatment == treatment)
	}
	var in []Sitting
	for _, sitting := range list {
		if slices.ContainsFunc(sitting.Bonds, of) {
			in = append(in, sitting)
		}
	}
	if len(in) != 1 {
		return TiedTo{}, false
	}
	return TiedTo{adhesive, treatment, in[0]}, true
}
