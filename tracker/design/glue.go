package design

import (
	"math"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// Glue returns the adhesive that bonds take,
//
//	net = area x spread x faces x bonds,    mix = net x waste,
//
// with faces 1 or 2 and waste at least 1 (Waste: half again).
func Glue(area quantity.Area, spread quantity.Spread, faces, bonds int, waste float64) (net, mix quantity.Mass) {
	net = quantity.Mass(float64(area) * float64(spread) * float64(faces*bonds))
	return net, net * quantity.Mass(waste)
}

// SmallestPart returns the share that the smallest part has in a mix; 1 for an
// adhesive of one part.
func SmallestPart(r quantity.Ratio) quantity.Share {
	least, sum := math.Inf(1), 0.0
	for _, x := range r {
		least, sum = min(least, x), sum+x
	}
	if len(r) == 0 {
		return 1
	}
	return quantity.Share(least / sum)
}

// MixTolerance is how closely a laboratory holds the parts of a mix: 1 % (ISO
// 6238, read).
const MixTolerance = quantity.Share(0.01)

// WeighingError returns how far off the smallest part of a mix may be when it
// is weighed to half a division of a scale,
//
//	error = (division / 2) / (mix x smallest share),
//
// as a share of that part. Infinite for a mix that is not positive.
func WeighingError(mix quantity.Mass, r quantity.Ratio, division quantity.Mass) quantity.Share {
	if !(mix > 0) {
		return quantity.Share(math.Inf(1))
	}
	return quantity.Share(float64(division) / 2 / (float64(mix) * float64(SmallestPart(r))))
}

// LeastBatch returns the smallest mix that a scale can weigh to MixTolerance.
func LeastBatch(r quantity.Ratio, division quantity.Mass) quantity.Mass {
	return division / 2 / quantity.Mass(float64(MixTolerance)*float64(SmallestPart(r)))
}

// LargestDivision returns the coarsest scale on which a mix can be weighed to
// MixTolerance.
func LargestDivision(mix quantity.Mass, r quantity.Ratio) quantity.Mass {
	return mix * quantity.Mass(2*float64(MixTolerance)*float64(SmallestPart(r)))
}

// A Pot is one mixing of an adhesive. In a study with boards the glue-up goes
// board by board, and an adhesive is mixed anew for each; without boards all
// its bonds come from one pot.
type Pot struct {
	Adhesive string
	Pots     int            // mixings of this adhesive
	Bonds    int            // in the fullest of them
	Mix      quantity.Mass  // for that one, waste included; zero when no spread is given
	Ratio    quantity.Ratio // of its parts; empty for one part, or when not given
	Life     time.Duration  // how long it can be spread; zero when not given
}

// Pots returns the mixings of each adhesive, in the order of the plan. Solid
// wood has no bond and none of them.
func Pots(s *tracker.Study) []Pot {
	boards, masses := fill(s), AdhesiveMasses(s)
	list := make([]Pot, 0, len(masses))
	for i, a := range s.Adhesives {
		if a.SolidWood {
			continue
		}
		p, m := potOf(boards, i), masses[len(list)]
		p.Adhesive, p.Ratio, p.Life = a.Key, a.Mix, a.PotLife
		if m.Bonds > 0 {
			p.Mix = m.Mix * quantity.Mass(p.Bonds) / quantity.Mass(m.Bonds)
		}
		list = append(list, p)
	}
	return list
}

// potOf counts the mixings of one adhesive, and the bonds of the fullest.
func potOf(boards [][]cell, adhesive int) (p Pot) {
	for _, cells := range boards {
		n := 0
		for _, c := range cells {
			if c.adhesive == adhesive {
				n++
			}
		}
		if n > 0 {
			p.Pots, p.Bonds = p.Pots+1, max(p.Bonds, n)
		}
	}
	return p
}

// A CoarseScale cannot weigh the smallest part of a pot to MixTolerance.
type CoarseScale struct {
	Adhesive        string
	Pot, Part       quantity.Mass // the pot, and its smallest part
	Division        quantity.Mass // of the scale
	Off             quantity.Share
	LeastBatch      quantity.Mass // that this scale could weigh
	LargestDivision quantity.Mass // of a scale that could weigh this pot
}

// TooLittle warns of pots whose smallest part the shop's scale cannot weigh to
// MixTolerance, at the largest mix that lasts for its bonds. Where the plan gives
// no ratio or no scale nothing is said.
func TooLittle(s *tracker.Study) []Foreseen {
	var w []Foreseen
	for _, p := range Pots(s) {
		p.Mix *= quantity.Mass(p.lasts(s)) / quantity.Mass(max(1, p.Bonds))
		off := WeighingError(p.Mix, p.Ratio, s.Scale)
		if len(p.Ratio) == 0 || s.Scale <= 0 || p.Mix == 0 || float64(off) <= float64(MixTolerance)+1e-9 {
			continue
		}
		w = append(w, warning("too-little-to-weigh", "adhesive."+p.Adhesive+".mix", CoarseScale{
			Adhesive: p.Adhesive, Pot: p.Mix, Part: p.Mix * quantity.Mass(SmallestPart(p.Ratio)), Division: s.Scale, Off: off,
			LeastBatch: LeastBatch(p.Ratio, s.Scale), LargestDivision: LargestDivision(p.Mix, p.Ratio),
		}))
	}
	return w
}

// BondsAPot returns how many bonds can be spread and closed while a pot lasts;
// zero when a single one takes longer, or a length is not positive.
func BondsAPot(potLife, perBond time.Duration) int {
	if perBond <= 0 || potLife <= 0 {
		return 0
	}
	return int(potLife / perBond)
}

// lasts returns how many of its bonds a pot lasts for, when people spread side
// by side; all of them where the plan does not say what it takes to know.
func (p Pot) lasts(s *tracker.Study) int {
	if p.Life <= 0 || s.Specimen.TimePerBond <= 0 {
		return p.Bonds
	}
	return min(p.Bonds, max(1, s.People)*BondsAPot(p.Life, s.Specimen.TimePerBond))
}

// A ShortPot does not last for the bonds of a sitting.
type ShortPot struct {
	Adhesive string
	Bonds    int           // of the sitting
	Takes    time.Duration // for all of them
	Life     time.Duration
	Lasts    int // for so many bonds; zero where one takes longer
}

// PotLife warns of adhesives whose pot does not last for the bonds of a
// sitting, which are those of a pot and at most one a clamp. People spread side
// by side, one where the plan does not say. Where it gives no pot life or no
// time a bond nothing is said.
func PotLife(s *tracker.Study) []Foreseen {
	var w []Foreseen
	for _, p := range Pots(s) {
		bonds := p.Bonds
		if s.Specimen.Clamps > 0 {
			bonds = min(bonds, s.Specimen.Clamps)
		}
		if n := p.lasts(s); n < bonds {
			takes := time.Duration(Sittings(bonds, max(1, s.People))) * s.Specimen.TimePerBond
			w = append(w, warning("pot-life", "adhesive."+p.Adhesive+".pot_life", ShortPot{p.Adhesive, bonds, takes, p.Life, n}))
		}
	}
	return w
}
