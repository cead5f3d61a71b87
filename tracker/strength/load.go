package strength

import (
	"errors"
	"math"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// rig finds the rig a try names. With one rig in the plan a try need not name
// it; nil when the plan knows no such rig.
func (b breaker) rig(t tracker.Try) *tracker.Rig {
	if rig := b.study.Rig(t.Rig); rig != nil {
		return rig
	}
	if t.Rig == "" && len(b.study.Rigs) == 1 {
		return &b.study.Rigs[0]
	}
	return nil
}

// errNoForce is a reading that gives no force which could be.
var errNoForce = errors.New("it is no force")

// force is the force behind a try's reading; the error says why there is none.
func (b breaker) force(t tracker.Try) (quantity.Force, error) {
	reading, err := quantity.ParseReading(t.Reading)
	if err != nil {
		return 0, err
	}
	var ram quantity.Area
	if rig := b.rig(t); rig != nil {
		ram = rig.RamArea
	}
	force, err := reading.Force(ram)
	if err == nil && (!(force >= 0) || math.IsInf(force.N(), 0)) {
		err = errNoForce
	}
	return force, err
}

// load fills in reading, force and stress,
//
//	force = gauge pressure x ram area, or read directly
//	stress = force / (bond length x bond width)
//
// and says why where one of them is not to be had.
func (b breaker) load(t tracker.TryAt) {
	s, rig := b.specimen, b.rig(t.Try)
	s.Rig = Text(t.Rig)
	if rig != nil {
		s.Rig = Text(rig.Name)
	}
	reading, err := quantity.ParseReading(t.Reading)
	if err != nil {
		b.mark(Mark{Rule: NoReading})
		return
	}
	s.Reading, s.Unit = number(reading.Value), Text(reading.Unit)
	force, err := b.force(t.Try)
	if err != nil {
		b.mark(Mark{Rule: NoForce, Reading: reading, Rig: t.Rig})
		return
	}
	s.ForceN = number(force.N())
	s.ShearMPa = number(quantity.Stress(force, b.area()).MPa())
	if s.Nominal {
		b.mark(Mark{Rule: NominalArea})
	}
	if s.ShearMPa != nil && rig != nil {
		s.division = division(*rig, force)
		b.uncertainty(reading, *rig)
	}
}

// division is that of a rig's gauge as a share of a force read from it; 0 where the plan
// does not give it.
func division(rig tracker.Rig, force quantity.Force) float64 {
	one := max(float64(rig.Gauge.DivisionForce), float64(rig.Gauge.DivisionPressure)*float64(rig.RamArea))
	if !(one > 0 && force > 0) {
		return 0
	}
	return min(1, one/float64(force))
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
