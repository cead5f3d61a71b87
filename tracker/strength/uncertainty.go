package strength

import (
	"math"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// Half-widths that no plan gives: a rule read by eye, and a quarter of a
// division for a needle. Both are common practice, no published source.
const (
	ruleHalfWidthMM  = 0.5
	needleOfDivision = 0.25
)

// uncertainty fills in the expanded uncertainty of the stress,
//
//	u/stress = sqrt(Σ (half-width/sqrt 3)²),   expanded = 2 u,
//
// each half-width relative: the gauge's class (a share of span), a quarter of
// a division, ram area (pressure gauges only), friction, and what the bond's length
// and width may be off by (see sides). A gauge whose class is not known has no uncertainty.
//
// Source: JCGM 100:2008 (GUM), rectangular bounds 4.3.7, combination 5.1.2,
// coverage factor 6.3.
func (b breaker) uncertainty(reading quantity.Reading, rig tracker.Rig) {
	value, span, division, ok := onGauge(reading, rig.Gauge)
	if !ok {
		return
	}
	b.place(value/span, reading)
	if !(rig.Gauge.Class > 0) || !(value > 0) {
		return
	}
	parts := []float64{float64(rig.Gauge.Class) * span / value, needleOfDivision * division / value, float64(rig.Gauge.Friction)}
	for _, halfWidth := range b.sides() {
		parts = append(parts, halfWidth/b.life.BondLength.MM(), halfWidth/b.life.BondWidth.MM())
	}
	if !reading.IsForce() {
		parts = append(parts, float64(rig.Gauge.AreaError))
	}
	sum := 0.0
	for _, p := range parts {
		sum += p * p / 3
	}
	b.specimen.PlusMinus = number(2 * math.Sqrt(sum) * *b.specimen.ShearMPa)
}

// sides are the half-widths, in mm, that the bond's length and width each carry: of a
// measured bond what the plan says of measuring it and of the caliper, else that of a
// rule.
func (b breaker) sides() []float64 {
	within, caliper := b.study.Specimen.MeasuredWithin.MM(), b.study.Specimen.Caliper.MM()
	if b.life.Nominal || within <= 0 {
		within = ruleHalfWidthMM
	}
	if b.life.Nominal || caliper <= 0 {
		return []float64{within}
	}
	return []float64{within, caliper}
}

// onGauge returns reading, span and division in one unit: newtons or pascals.
// It is false when the gauge has no span in the reading's dimension.
func onGauge(r quantity.Reading, g tracker.Gauge) (value, span, division float64, ok bool) {
	if r.IsForce() {
		f, err := r.Force(0)
		return float64(f), float64(g.SpanForce), float64(g.DivisionForce), err == nil && g.SpanForce > 0
	}
	p, err := r.Pressure()
	return float64(p), float64(g.SpanPressure), float64(g.DivisionPressure), err == nil && g.SpanPressure > 0
}

// place warns of a reading near either end of the gauge, or beyond it: there
// the record has its own mark, which asks.
func (b breaker) place(share float64, reading quantity.Reading) {
	switch {
	case share > 1 && b.marked(OverGauge):
	case share > 1:
		b.mark(Mark{Rule: OverGauge, Reading: reading})
	case share < GaugeLow:
		b.mark(Mark{Rule: LowOnGauge, Reading: reading})
	case share > GaugeHigh:
		b.mark(Mark{Rule: HighOnGauge, Reading: reading})
	}
}
