package design

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// VolumeOf returns the volume of a piece.
func VolumeOf(b tracker.Box) quantity.Volume {
	return quantity.Volume(float64(b.Length) * float64(b.Width) * float64(b.Thickness))
}

// WaterDensity is that of fresh water near 20 C.
const WaterDensity = quantity.Density(998)

// SteelDensity is that of the ballast which most shops have.
const SteelDensity = quantity.Density(7850)

// Lift returns the mass that holds wood of a volume and density just under
// water,
//
//	lift = (water density - wood density) x volume,
//
// not less than zero: wood that sinks needs none. It is largest on the first
// day, and falls to nothing as the wood fills.
func Lift(wood quantity.Volume, d quantity.Density) quantity.Mass {
	return quantity.Mass(max(0, float64(WaterDensity-d)) * float64(wood))
}

// BallastFactor is how many times the lift to weigh down: twice, so that a knock
// frees nothing (common practice, no published source).
const BallastFactor = 2

// Ballast returns how much of a material to lay on wood that lifts: twice the
// lift over what the material keeps of its own weight under water,
//
//	ballast = 2 lift / (1 - water density / density).
//
// Material no denser than water is an error.
func Ballast(lift quantity.Mass, d quantity.Density) (quantity.Mass, error) {
	if !(d > WaterDensity) {
		return 0, fmt.Errorf("ballast of %.0f kg/m3 floats; take steel or stone", float64(d))
	}
	return BallastFactor * lift / quantity.Mass(1-WaterDensity/d), nil
}

// WaterRatio is volumes of water to one of wood: about 5 (EN 84, read).
const WaterRatio = 5

// MaxMoisture returns the ceiling of uptake, where every hollow is full,
//
//	MCmax = (1.54 - G) / (1.54 G),
//
// over oven-dry mass, for a gravity G on green volume. Zero for a G outside
// (0, 1.54]. Source: Wood Handbook, chapter 4; from memory.
func MaxMoisture(g float64) quantity.Share {
	if !(g > 0 && g <= 1.54) {
		return 0
	}
	return quantity.Share((1.54 - g) / (1.54 * g))
}

// Ceiling returns MaxMoisture of the wood of a study; zero where the table does
// not know it.
func Ceiling(s *tracker.Study) quantity.Share {
	wood, err := FindWood(s.Wood.Species)
	if err != nil {
		return 0
	}
	return MaxMoisture(wood.GravityGreen)
}

// EquilibriumMoisture returns the moisture that wood comes to in still air of a
// temperature and a relative humidity from 0 to 100 %,
//
//	EMC = (1800/W) ( Kh/(1-Kh) + (K1 Kh + 2 K1 K2 K^2 h^2) / (1 + K1 Kh + K1 K2 K^2 h^2) ) percent.
//
// It holds for small pieces of any wood to a point or so, below 100 C and 100 %.
// Source: Wood Handbook equation 4-5; the coefficients in C are from memory and
// agree with points that were read: 60 C and 55 % give 8.4. It stands here as a
// check against published values; no command asks for it yet.
func EquilibriumMoisture(temperature quantity.Temperature, humidity quantity.Share) (quantity.Share, error) {
	t, h := float64(temperature), float64(humidity)
	if !(h >= 0 && h <= 1) || !(t >= -30 && t <= 100) {
		return 0, errors.New("the moisture that wood comes to is known from -30 to 100 C and 0 to 100 % humidity")
	}
	w := 349 + 1.29*t + 0.0135*t*t
	kh := (0.805 + 0.000736*t - 0.00000273*t*t) * h
	k1 := 6.27 - 0.00938*t - 0.000303*t*t
	k2 := 1.91 + 0.0407*t - 0.000293*t*t
	bound := (k1*kh + 2*k1*k2*kh*kh) / (1 + k1*kh + k1*k2*kh*kh)
	return quantity.Share(18 / w * (kh/(1-kh) + bound)), nil
}

// WaterChanges returns when to change the water after immersion: at the end of
// days 1 and 2, then every 36 h, but not at the lift-out or after. Over 14 d that
// is the nine changes of EN 84; how its last seven are spread is ours.
func WaterChanges(soak time.Duration) []time.Duration {
	const day = 24 * time.Hour
	var at []time.Duration
	for next := day; next < soak && len(at) < 1000; {
		at = append(at, next)
		if next < 2*day {
			next += day
		} else {
			next += 36 * time.Hour
		}
	}
	return at
}

// A Bath is what one body of water of the plan holds and needs. Masses and
// volumes are zero where the plan does not give the blank's size, and masses
// also where the density of the wood is not known.
type Bath struct {
	Name      string // empty: the plan names no bath for these
	Adhesives []string
	Specimens int
	Wood      quantity.Volume
	Density   WoodDensity     // of the wood as it goes in
	Water     quantity.Volume // at least: WaterRatio x Wood
	Lift      quantity.Mass
	Steel     quantity.Mass // to lay on it: Ballast of steel
}

// A WoodDensity is a density to reckon with and where it comes from.
type WoodDensity struct {
	Density quantity.Density // zero when not known
	Source  string
	Status  Status
}

// Baths lists the baths of a study in the order in which its adhesives name
// them. Each specimen is two blanks, one of solid wood as well.
func Baths(s *tracker.Study) []Bath {
	var baths []Bath
	for _, a := range s.Adhesives {
		if n := soaked(s, a); n > 0 {
			baths = immersed(baths, a, n)
		}
	}
	density, _ := BlankDensity(s) // zero with an error
	for i := range baths {
		baths[i].fill(VolumeOf(s.Specimen.Blank), density)
	}
	return baths
}

// immersed puts n specimens of an adhesive into its bath, a new one when need be.
func immersed(baths []Bath, a tracker.Adhesive, n int) []Bath {
	i := slices.IndexFunc(baths, func(b Bath) bool { return b.Name == a.Bath })
	if i < 0 {
		i = len(baths)
		baths = append(baths, Bath{Name: a.Bath})
	}
	baths[i].Adhesives = append(baths[i].Adhesives, a.Key)
	baths[i].Specimens += n
	return baths
}

// soaked counts the specimens of an adhesive that go under water.
func soaked(s *tracker.Study, a tracker.Adhesive) int {
	n := 0
	for _, t := range s.Treatments {
		if t.Soaked {
			n += Replicates(a, t)
		}
	}
	return n
}

func (b *Bath) fill(blank quantity.Volume, d WoodDensity) {
	b.Wood, b.Density = quantity.Volume(BlanksPerSpecimen*b.Specimens)*blank, d
	b.Water = WaterRatio * b.Wood
	if d.Density > 0 {
		b.Lift = Lift(b.Wood, d.Density)
		b.Steel, _ = Ballast(b.Lift, SteelDensity) // steel does not float
	}
}

// BlankDensity returns the density of the blanks as they go into the bath: the
// plan's, else the table's for the study's species at the mean moisture of its
// boards (12 % where none is given). An unknown species is an *UnknownWood.
func BlankDensity(s *tracker.Study) (WoodDensity, error) {
	if s.Wood.Density > 0 {
		return WoodDensity{s.Wood.Density, "the plan", FromPlan}, nil
	}
	w, err := FindWood(s.Wood.Species)
	if err != nil {
		return WoodDensity{}, err
	}
	if d := w.Density(meanMoisture(s.Wood.Boards)); d > 0 {
		return WoodDensity{d, fmt.Sprintf("%s, %s", WoodSource, w.Handbook), w.Status}, nil
	}
	return WoodDensity{}, fmt.Errorf("%s prints no gravity for %s; weigh a blank and give density in [wood]", WoodSource, w.Name)
}

// meanMoisture is over the boards whose moisture is given; zero without any.
func meanMoisture(boards []tracker.Board) quantity.Share {
	sum, n := 0.0, 0
	for _, b := range boards {
		if b.Moisture > 0 {
			sum, n = sum+float64(b.Moisture), n+1
		}
	}
	return quantity.Share(sum / math.Max(1, float64(n)))
}

// Confounding is what the sharing of baths mixes up: baths that several adhesives
// share, and how many adhesives have a bath to themselves.
type Confounding struct {
	Shared []Bath
	Own    int
}

// ConfoundingOf sorts baths by who shares them.
func ConfoundingOf(baths []Bath) (c Confounding) {
	for _, b := range baths {
		if len(b.Adhesives) > 1 {
			c.Shared = append(c.Shared, b)
		} else {
			c.Own++
		}
	}
	return c
}
