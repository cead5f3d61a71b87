package design

import (
	"cmp"
	"fmt"
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A part is bonds that the calendar treats alike: of one adhesive and one
// treatment, and where the glue-up takes several sittings also of one filling.
type part struct {
	key     string
	filling int // 0 where it is of the whole study
	bonds   []tracker.Specimen
}

func (p part) name() string { return p.bonds[0].Adhesive + " " + p.bonds[0].Treatment }

// toGlue lists the specimens that are glued, in the order dealt.
func toGlue(s *tracker.Study, dealt []tracker.Specimen) []tracker.Specimen {
	var list []tracker.Specimen
	for _, sp := range dealt {
		if a := s.Adhesive(sp.Adhesive); a != nil && !a.SolidWood && s.Treatment(sp.Treatment) != nil {
			list = append(list, sp)
		}
	}
	slices.SortStableFunc(list, func(a, b tracker.Specimen) int {
		return cmp.Or(a.Order-b.Order, a.Code.Serial-b.Code.Serial)
	})
	return list
}

// wholeParts divides the bonds by adhesive and treatment, in the order of the plan.
func wholeParts(s *tracker.Study, bonds []tracker.Specimen) (parts []part) {
	for _, a := range s.Adhesives {
		parts = append(parts, partsBy(s, bonds, a.Key, 0)...)
	}
	return parts
}

// partsOf divides every filling by adhesive and treatment, the adhesives in the
// order dealt.
func partsOf(s *tracker.Study, fillings [][]tracker.Specimen) (parts []part) {
	for i, bonds := range fillings {
		for _, key := range adhesivesOf(bonds) {
			parts = append(parts, partsBy(s, bonds, key, i+1)...)
		}
	}
	return parts
}

// adhesivesOf lists the adhesives of some bonds as they come first.
func adhesivesOf(bonds []tracker.Specimen) (keys []string) {
	for _, sp := range bonds {
		if !slices.Contains(keys, sp.Adhesive) {
			keys = append(keys, sp.Adhesive)
		}
	}
	return keys
}

// partsBy lists the bonds of one adhesive by treatment.
func partsBy(s *tracker.Study, bonds []tracker.Specimen, adhesive string, filling int) (parts []part) {
	for _, t := range s.Treatments {
		p := part{filling: filling}
		for _, sp := range bonds {
			if sp.Adhesive == adhesive && sp.Treatment == t.Key {
				p.bonds = append(p.bonds, sp)
			}
		}
		if len(p.bonds) == 0 {
			continue
		}
		if p.key = p.name(); filling > 0 {
			p.key = fmt.Sprintf("%s of sitting %d", p.key, filling)
		}
		parts = append(parts, p)
	}
	return parts
}

// follows is the key of the part that has the partners of this one: of the same
// adhesive under the treatment followed, from the same filling where there is
// one, else from the same board, else any. Empty where there is none.
func (p part) follows(s *tracker.Study, all []part) (key string) {
	followed, best := s.Followed(), 0
	if followed == nil {
		return ""
	}
	for _, other := range all {
		of, near := other.bonds[0], 1
		if of.Adhesive != p.bonds[0].Adhesive || of.Treatment != followed.Key {
			continue
		}
		if of.Board == p.bonds[0].Board {
			near = 2
		}
		if other.filling == p.filling {
			near = 3
		}
		if near > best {
			best, key = near, other.key
		}
	}
	return key
}

// A room is how many bonds are glued in one go.
type room struct {
	clamps int // 0 where the plan does not count them
	each   int // clamps that a bond takes at most
	most   int // bonds that fit into the shop's hours
}

// fillings deals the bonds to the clamps, as they were dealt for the glue-up: as
// few fillings as can be, and among those whole boards before whole pots before
// single bonds, so that a sitting is a block or a part of one.
func fillings(s *tracker.Study, bonds []tracker.Specimen) [][]tracker.Specimen {
	sameBoard := func(a, b tracker.Specimen) bool { return a.Board == b.Board && a.Board != "" }
	samePot := func(a, b tracker.Specimen) bool { return a.Board == b.Board && a.Adhesive == b.Adhesive }
	alone := func(tracker.Specimen, tracker.Specimen) bool { return false }
	best := pack(s, bonds, alone)
	for _, together := range []func(a, b tracker.Specimen) bool{samePot, sameBoard} {
		if other := pack(s, bonds, together); len(other) <= len(best) {
			best = other
		}
	}
	return best
}

// pack fills the clamps with bonds in their order. Neighbours that belong
// together stay so, unless they are more than one filling holds.
func pack(s *tracker.Study, bonds []tracker.Specimen, together func(a, b tracker.Specimen) bool) (full [][]tracker.Specimen) {
	var filling []tracker.Specimen
	space := roomOf(s)
	for from, to := 0, 0; from < len(bonds); from = to {
		for to = from + 1; to < len(bonds) && together(bonds[from], bonds[to]); to++ {
		}
		unit := bonds[from:to]
		for i, sp := range unit {
			wanted := unit
			if i > 0 {
				wanted = unit[i : i+1]
			}
			if len(filling) > 0 && !space.holds(s, filling, wanted) {
				full, filling = append(full, filling), nil
			}
			filling = append(filling, sp)
		}
	}
	if len(filling) > 0 {
		full = append(full, filling)
	}
	return full
}

func roomOf(s *tracker.Study) room {
	b := room{clamps: s.Specimen.Clamps, each: clampsEach(s)}
	longest := 0
	for _, h := range hoursOf(s) {
		longest = max(longest, h.Ends-h.Opens)
	}
	if hands := s.Hands(schedule.GlueUp).Minutes(); hands > 0 {
		b.most = int(float64(longest) / hands)
	}
	return b
}

// holds reports whether there is room for more bonds beside some.
func (b room) holds(s *tracker.Study, some, more []tracker.Specimen) bool {
	clamps := 0
	for _, sp := range slices.Concat(some, more) {
		if clamped(s, sp) {
			clamps += b.each
		}
	}
	return (b.clamps == 0 || clamps <= b.clamps) && (b.most == 0 || len(some)+len(more) <= b.most)
}

func clamped(s *tracker.Study, sp tracker.Specimen) bool {
	return slices.Contains(s.Path(sp), schedule.ClampRemoval)
}
