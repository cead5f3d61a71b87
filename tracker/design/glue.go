package design

import (
	"fmt"
	"math"
	"strconv"
	"strings"
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

// A Ratio is the parts by mass of a mix, in the order in which they are named;
// empty for an adhesive of one part.
type Ratio []float64

// ParseRatio reads "5:1" or "100:20:5": two to six positive numbers.
func ParseRatio(s string) (Ratio, error) {
	parts := strings.Split(s, ":")
	ratio := make(Ratio, 0, len(parts))
	for _, part := range parts {
		x, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || !(x > 0) || x > 1e6 || strings.ContainsAny(part, "xXpP_") {
			return nil, fmt.Errorf(`mix ratio %.40q: write parts by mass, "5:1"`, s)
		}
		ratio = append(ratio, x)
	}
	if len(ratio) < 2 || len(ratio) > 6 {
		return nil, fmt.Errorf(`mix ratio %.40q has %d parts; write two to six, "5:1"`, s, len(ratio))
	}
	return ratio, nil
}

// Smallest returns the share that the smallest part has in the mix; 1 for an
// adhesive of one part.
func (r Ratio) Smallest() quantity.Share {
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
func WeighingError(mix quantity.Mass, r Ratio, division quantity.Mass) quantity.Share {
	if !(mix > 0) {
		return quantity.Share(math.Inf(1))
	}
	return quantity.Share(float64(division) / 2 / (float64(mix) * float64(r.Smallest())))
}

// LeastBatch returns the smallest mix that a scale can weigh to MixTolerance.
func LeastBatch(r Ratio, division quantity.Mass) quantity.Mass {
	return division / 2 / quantity.Mass(float64(MixTolerance)*float64(r.Smallest()))
}

// LargestDivision returns the coarsest scale on which a mix can be weighed to
// MixTolerance.
func LargestDivision(mix quantity.Mass, r Ratio) quantity.Mass {
	return mix * quantity.Mass(2*float64(MixTolerance)*float64(r.Smallest()))
}

// A Pot is one mixing of an adhesive. In a study with boards the glue-up goes
// board by board, and an adhesive is mixed anew for each; without boards all
// its bonds come from one pot.
type Pot struct {
	Adhesive string
	Pots     int           // mixings of this adhesive
	Bonds    int           // in the fullest of them
	Mix      quantity.Mass // for that one, waste included; zero when no spread is given
}

// Pots returns the mixings of each adhesive, in the order of the plan.
func Pots(s *tracker.Study) []Pot {
	boards := fill(s)
	list := make([]Pot, len(s.Adhesives))
	for i, m := range AdhesiveMasses(s) {
		p := Pot{Adhesive: m.Adhesive}
		for _, cells := range boards {
			n := 0
			for _, c := range cells {
				if c.adhesive == i {
					n++
				}
			}
			if n > 0 {
				p.Pots, p.Bonds = p.Pots+1, max(p.Bonds, n)
			}
		}
		if m.Bonds > 0 {
			p.Mix = m.Mix * quantity.Mass(p.Bonds) / quantity.Mass(m.Bonds)
		}
		list[i] = p
	}
	return list
}

// TooLittle warns of pots whose smallest part the shop's scale cannot weigh to
// MixTolerance. Ratios are by adhesive key; one that is missing is of one part.
// Without a division nothing is said.
func TooLittle(pots []Pot, ratios map[string]Ratio, division quantity.Mass) []Warning {
	var w []Warning
	for _, p := range pots {
		r := ratios[p.Adhesive]
		if len(r) == 0 || !(division > 0) || p.Mix == 0 || float64(WeighingError(p.Mix, r, division)) <= float64(MixTolerance)+1e-9 {
			continue
		}
		part := p.Mix * quantity.Mass(r.Smallest())
		text := fmt.Sprintf("%s: too little to weigh: a pot of %s g has %s g of its smaller part, and a scale of %s g is off by up to %s %% of that, not 1 %%",
			p.Adhesive, figure(p.Mix.G(), 2), figure(part.G(), 2), figure(division.G(), 3), figure(WeighingError(p.Mix, r, division).Percent(), 2))
		hint := fmt.Sprintf("mix at least %s g, or weigh on %s g", figure(LeastBatch(r, division).G(), 3), decade(LargestDivision(p.Mix, r)))
		w = append(w, Warning{"too-little-to-weigh", "adhesive." + p.Adhesive, text, hint})
	}
	return w
}

// decade writes a scale's division that people can buy: the power of ten, in
// grams, not above m.
func decade(m quantity.Mass) string {
	return figure(math.Pow(10, math.Floor(math.Log10(m.G())+1e-9)), 1)
}

// BondsAPot returns how many bonds can be spread and closed while a pot lasts;
// zero when a single one takes longer, or a length is not positive.
func BondsAPot(potLife, perBond time.Duration) int {
	if perBond <= 0 || potLife <= 0 {
		return 0
	}
	return int(potLife / perBond)
}

// PotLife warns of adhesives whose pot does not last for its bonds, at a time
// for each bond that the person gives. Adhesives without a pot life, and no time
// a bond, say nothing.
func PotLife(s *tracker.Study, pots []Pot, perBond time.Duration) []Warning {
	var w []Warning
	for i, p := range pots {
		life := s.Adhesives[i].PotLife
		n := BondsAPot(life, perBond)
		if life <= 0 || perBond <= 0 || n >= p.Bonds {
			continue
		}
		text := fmt.Sprintf("%s: %d bonds take %s min and its pot lasts %s min", p.Adhesive, p.Bonds,
			figure(float64(p.Bonds)*perBond.Minutes(), 3), figure(life.Minutes(), 3))
		hint := "one bond takes longer than the pot lasts: two people, or a slower adhesive"
		if n > 0 {
			hint = fmt.Sprintf("mix %d pots of up to %d bonds", Sittings(p.Bonds, n), n)
		}
		w = append(w, Warning{"pot-life", "adhesive." + p.Adhesive + ".pot_life", text, hint})
	}
	return w
}
