package design

import (
	"math"
	"time"

	"soaktag/schedule"
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

// A Pot sums up the mixings of an adhesive, as the sittings have them.
type Pot struct {
	Adhesive string
	Pots     int           // mixings of this adhesive
	Bonds    int           // in the fullest of them
	Mix      quantity.Mass // for that one, waste included; zero when no spread is given
	Life     time.Duration // how long it can be spread; zero when not given

	Least   Batch // the smallest, which is the hardest to weigh
	Sitting int   // the most bonds in a row of one sitting
}

// Pots returns the mixings of each adhesive, in the order of the plan. Solid
// wood has no bond and none of them.
func Pots(s *tracker.Study, sittings []Sitting) []Pot {
	var list []Pot
	for _, a := range s.Adhesives {
		if a.SolidWood {
			continue
		}
		p := Pot{Adhesive: a.Key, Life: a.PotLife}
		for _, sitting := range sittings {
			p.add(sitting)
		}
		list = append(list, p)
	}
	return list
}

// add takes the batches of a sitting in.
func (p *Pot) add(sitting Sitting) {
	row, last := 0, 0
	for _, b := range sitting.Batches {
		if b.Adhesive != p.Adhesive {
			continue
		}
		if row += b.Bonds(); b.First != last+1 {
			row = b.Bonds()
		}
		last, p.Sitting, p.Pots = b.Last, max(p.Sitting, row), p.Pots+1
		if b.Bonds() > p.Bonds {
			p.Bonds, p.Mix = b.Bonds(), b.Mix
		}
		if p.Pots == 1 || b.Bonds() < p.Least.Bonds() {
			p.Least = b
		}
	}
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
// MixTolerance. Where the plan gives no ratio or no scale nothing is said.
func TooLittle(s *tracker.Study, sittings []Sitting) []Foreseen {
	var w []Foreseen
	for _, p := range Pots(s, sittings) {
		mix, ratio := p.Least.Mix, p.Least.Ratio
		off := WeighingError(mix, ratio, s.Scale)
		if len(ratio) == 0 || s.Scale <= 0 || mix == 0 || float64(off) <= float64(MixTolerance)+1e-9 {
			continue
		}
		w = append(w, warning("too-little-to-weigh", "adhesive."+p.Adhesive+".mix", CoarseScale{
			Adhesive: p.Adhesive, Pot: mix, Part: mix * quantity.Mass(SmallestPart(ratio)), Division: s.Scale, Off: off,
			LeastBatch: LeastBatch(ratio, s.Scale), LargestDivision: LargestDivision(mix, ratio),
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

// A ShortPot does not last for the bonds of a sitting.
type ShortPot struct {
	Adhesive string
	Bonds    int           // of the sitting
	Takes    time.Duration // for all of them
	Life     time.Duration
	Lasts    int // for so many bonds; zero where one takes longer
}

// PotLife warns of adhesives whose pot does not last for their bonds in a
// sitting. People spread side by side, one where the plan does not say.
func PotLife(s *tracker.Study, sittings []Sitting) []Foreseen {
	var w []Foreseen
	for _, p := range Pots(s, sittings) {
		people, each := max(1, s.People), s.Hands(schedule.GlueUp)
		takes := time.Duration(GlueUps(p.Sitting, people)) * each
		if p.Life <= 0 || people*BondsAPot(p.Life, each) >= p.Sitting {
			continue
		}
		w = append(w, warning("pot-life", "adhesive."+p.Adhesive+".pot_life", ShortPot{p.Adhesive, p.Sitting, takes, p.Life, people * BondsAPot(p.Life, each)}))
	}
	return w
}
