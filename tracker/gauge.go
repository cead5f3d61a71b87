package tracker

import (
	"cmp"

	"soaktag/tracker/quantity"
)

// Unit is what a bare number of the gauge is in: the unit of its span as the plan
// has it, else of its division. It is empty where neither is given, and where the
// two differ: such a dial has two scales.
func (g Gauge) Unit() string {
	span, division := g.Span.Unit, g.Division.Unit
	if span != "" && division != "" && span != division {
		return ""
	}
	return cmp.Or(span, division)
}

// Exceeded reports whether a reading lies beyond the gauge's span.
func (g Gauge) Exceeded(reading string) bool {
	r, err := quantity.ParseReading(reading)
	if err != nil {
		return false
	}
	if r.IsForce() {
		f, err := r.Force(0)
		return err == nil && g.SpanForce > 0 && f > g.SpanForce
	}
	p, err := r.Pressure()
	return err == nil && g.SpanPressure > 0 && p > g.SpanPressure
}

// Foreign reports whether a reading is of another kind than the dial is marked in:
// a force on a gauge of pressure, or the other way round. Of a dial that the plan
// does not describe nobody can tell.
func (g Gauge) Foreign(reading string) bool {
	r, err := quantity.ParseReading(reading)
	return err == nil && g.Span.Unit != "" && r.IsForce() != g.Span.IsForce()
}
