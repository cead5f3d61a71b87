package design

import (
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// ClampForce returns the force of a clamp that presses a bond,
//
//	force = pressure x area.
func ClampForce(p quantity.Pressure, a quantity.Area) quantity.Force {
	return quantity.Force(float64(p) * float64(a))
}

// A Clamping is what an adhesive's bonds ask of the clamps.
type Clamping struct {
	Adhesive string
	Bonds    int
	Contact  bool              // only held in place
	Pressure quantity.Pressure // zero when not given
	Force    quantity.Force    // on each bond; zero when the pressure is
	Most     quantity.Force    // that one clamp gives; zero when the plan does not say
}

// Each returns how many clamps a bond needs to come to its pressure; one where
// the plan does not say what it takes to know.
func (c Clamping) Each() int {
	if !(c.Most > 0) || !(c.Force > 0) {
		return 1
	}
	return ceil(float64(c.Force / c.Most))
}

// Clampings returns what each adhesive asks of the clamps, in the order of the
// plan. The adhesive's own pressure or contact counts before the specimen's.
// Solid wood asks nothing and is left out.
func Clampings(s *tracker.Study) []Clamping {
	area := quantity.Rectangle(s.Specimen.BondLength, s.Specimen.BondWidth)
	list := make([]Clamping, 0, len(s.Adhesives))
	for _, a := range s.Adhesives {
		if a.SolidWood {
			continue
		}
		c := Clamping{Adhesive: a.Key, Bonds: specimensOf(s, a), Contact: a.Contact, Pressure: a.Pressure, Most: s.Specimen.ClampForce}
		if c.Pressure == 0 && !c.Contact {
			c.Pressure, c.Contact = s.Specimen.Pressure, s.Specimen.Contact
		}
		c.Force = ClampForce(c.Pressure, area)
		list = append(list, c)
	}
	return list
}

// specimensOf counts the specimens of an adhesive, over all treatments.
func specimensOf(s *tracker.Study, a tracker.Adhesive) int {
	n := 0
	for _, t := range s.Treatments {
		n += Replicates(a, t)
	}
	return n
}

// GlueUps returns into how many glue-ups some bonds fall when a number of
// clamps hold one each; one when the number of clamps is not known.
func GlueUps(bonds, clamps int) int {
	if clamps <= 0 {
		return min(bonds, 1)
	}
	return (bonds + clamps - 1) / clamps
}

// WeakClamps cannot give alone what the bonds of some adhesives ask, which all
// ask the same.
type WeakClamps struct {
	Adhesives []string
	Asked     Clamping          // of the first of them
	Reached   quantity.Pressure // what one clamp comes to
}

// weakClamps warns of adhesives whose pressure one clamp cannot give; those
// that ask the same are told together.
func weakClamps(s *tracker.Study) []Foreseen {
	who := map[quantity.Pressure][]string{}
	var asked []Clamping
	for _, c := range Clampings(s) {
		if c.Each() > 1 {
			if who[c.Pressure] == nil {
				asked = append(asked, c)
			}
			who[c.Pressure] = append(who[c.Pressure], c.Adhesive)
		}
	}
	var w []Foreseen
	for _, c := range asked {
		reached := c.Pressure * quantity.Pressure(c.Most/c.Force)
		w = append(w, warning("clamp-too-weak", "specimen.clamp_force", WeakClamps{who[c.Pressure], c, reached}))
	}
	return w
}
