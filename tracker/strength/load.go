package strength

import (
	"fmt"
	"math"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// rig finds the rig a try names. With one rig in the plan a try need not name
// it; nil when the plan knows no such rig.
func (b breaker) rig(t tracker.TryAt) *tracker.Rig {
	for i, r := range b.study.Rigs {
		if strings.EqualFold(strings.TrimSpace(t.Rig), r.Name) {
			return &b.study.Rigs[i]
		}
	}
	if t.Rig == "" && len(b.study.Rigs) == 1 {
		return &b.study.Rigs[0]
	}
	return nil
}

// force is the force behind a try's reading; false when it gave none.
func (b breaker) force(t tracker.TryAt) (quantity.Force, bool) {
	reading, err := quantity.ParseReading(t.Reading)
	if err != nil {
		return 0, false
	}
	var ram quantity.Area
	if rig := b.rig(t); rig != nil {
		ram = rig.RamArea
	}
	force, err := reading.Force(ram)
	return force, err == nil && force >= 0 && !math.IsInf(force.N(), 0)
}

// load fills in reading, force and stress,
//
//	force = gauge pressure x ram area, or read directly
//	stress = force / (bond length x bond width)
//
// and says why where one of them is not to be had.
func (b breaker) load(t tracker.TryAt) {
	s, rig := b.specimen, b.rig(t)
	s.Rig = Text(t.Rig)
	if rig != nil {
		s.Rig = Text(rig.Name)
	}
	reading, err := quantity.ParseReading(t.Reading)
	if err != nil {
		b.mark("no reading", "the break has no reading that can be read: void it and enter it again with soaktag break")
		return
	}
	s.Reading, s.Unit = number(reading.Value), Text(reading.Unit)
	force, ok := b.force(t)
	if !ok {
		b.mark("no force", fmt.Sprintf("%s is no force without the ram area of rig %q: give it in the plan", reading, t.Rig))
		return
	}
	s.ForceN = number(force.N())
	s.ShearMPa = number(quantity.Stress(force, b.area()).MPa())
	if s.Nominal {
		b.mark("nominal area", "bond length and width were not measured: the plan's nominal area is used")
	}
	if s.ShearMPa != nil && rig != nil {
		b.uncertainty(reading, *rig)
	}
}

func (b breaker) area() quantity.Area {
	return quantity.Rectangle(b.life.BondLength, b.life.BondWidth)
}

// number is x, or nil where x is not a finite number.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
