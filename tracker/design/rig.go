package design

import (
	"math"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// WorkingShare is how much of a working limit an expected break may use: 0.6,
// for good joints often beat the handbook shear and boards differ (common
// practice, no published source). Only a working limit is ever compared, never
// a breaking strength.
const WorkingShare = 0.6

// Needed returns the working limit that every part of a rig should have for an
// expected load,
//
//	needed = expected / WorkingShare.
func Needed(expected quantity.Force) quantity.Force { return expected / WorkingShare }

// SuitingArea returns the bond area whose expected break a working limit can
// carry,
//
//	area = WorkingShare x limit / shear,
//
// or zero when the shear is not positive.
func SuitingArea(limit quantity.Force, shear quantity.Pressure) quantity.Area {
	if !(shear > 0) {
		return 0
	}
	return quantity.Area(WorkingShare * float64(limit) / float64(shear))
}

// Weakest returns the part of a rig with the smallest working limit known;
// false when none is known. Of equal ones the first counts.
func Weakest(r tracker.Rig) (tracker.Part, bool) {
	var weakest tracker.Part
	for _, p := range r.Parts {
		if p.WorkingLimit > 0 && (weakest.WorkingLimit == 0 || p.WorkingLimit < weakest.WorkingLimit) {
			weakest = p
		}
	}
	return weakest, weakest.WorkingLimit > 0
}

// UnknownLimits names the parts of a rig whose working limit the plan does not
// give: what is said of the weakest part leaves them out.
func UnknownLimits(r tracker.Rig) []string {
	var names []string
	for _, p := range r.Parts {
		if !(p.WorkingLimit > 0) {
			names = append(names, p.Name)
		}
	}
	return names
}

// Span returns the force at the last mark of a rig's gauge: its own span, or
// pressure x ram area. False when the plan does not give what that takes.
func Span(r tracker.Rig) (quantity.Force, bool) {
	f, err := r.Gauge.Span.Force(r.RamArea)
	return f, err == nil && f > 0
}

// A Band says where on its span a reading falls.
type Band uint8

// The bands of a gauge. Outside 15 to 85 % of span a machine's breaking loads
// should not lie (JIS K 6852); 25 to 75 % is advice of ours.
const (
	BandUnknown Band = iota // no span given
	BandMiddle              // 25 to 75 %
	BandUsable              // 15 to 25 % and 75 to 85 %
	BandLow                 // under 15 %: errors stated as a share of span weigh more than sixfold
	BandHigh                // over 85 %, up to the span
	BandBeyond              // past the last mark
)

func (b Band) String() string {
	return [...]string{"span not known", "middle of the gauge", "usable", "low on the gauge", "high on the gauge", "past the gauge's end"}[b]
}

// BandOf returns the band of a share of span. Limits are inclusive.
func BandOf(share float64) Band {
	switch {
	case math.IsNaN(share) || share < 0:
		return BandUnknown
	case share > 1:
		return BandBeyond
	case share > 0.85:
		return BandHigh
	case share < 0.15:
		return BandLow
	case share < 0.25 || share > 0.75:
		return BandUsable
	}
	return BandMiddle
}

// ReadingAt returns what a rig's gauge shows at a force, in the dial's own unit,
// to four figures. False for a gauge of pressure without a ram area, and for a
// dial whose unit the plan gives neither by its span nor by its division.
func ReadingAt(r tracker.Rig, f quantity.Force) (quantity.Reading, bool) {
	x, ok := onDial(r, f)
	x.Value = quantity.RoundFigures(x.Value, 4)
	return x, ok
}

// onDial is ReadingAt unrounded.
func onDial(r tracker.Rig, f quantity.Force) (quantity.Reading, bool) {
	unit := dialUnit(r.Gauge)
	one, err := quantity.Reading{Value: 1, Unit: unit}.Force(r.RamArea)
	if err != nil {
		return quantity.Reading{}, false
	}
	return quantity.Reading{Value: float64(f / one), Unit: unit}, true
}

// dialUnit is the unit that a gauge is marked in; empty when the plan gives
// neither span nor division.
func dialUnit(g tracker.Gauge) string {
	if g.Span.Unit != "" {
		return g.Span.Unit
	}
	return g.Division.Unit
}

// StopReading returns the reading at which to stop pumping: where the weakest
// limit known lies on the dial, at most the span, taken down to a division
// where the plan gives one. False when no limit is known: the end of a scale
// says nothing of what the rest can carry. A part whose limit is not known may
// give way before it: UnknownLimits names those.
func StopReading(r tracker.Rig) (quantity.Reading, bool) {
	part, known := Weakest(r)
	if !known {
		return quantity.Reading{}, false
	}
	limit := part.WorkingLimit
	if span, ok := Span(r); ok {
		limit = min(limit, span)
	}
	x, ok := onDial(r, limit)
	division, _ := r.Gauge.Division.Force(r.RamArea) // zero when not given
	step, _ := onDial(r, division)
	if ok {
		x.Value = downTo(x.Value, step.Value)
	}
	return x, ok
}

// downTo takes x down to a whole number of steps, or to three figures without
// a step. A hair below a mark is the mark.
func downTo(x, step float64) float64 {
	if !(step > 0) {
		step = math.Pow(10, math.Floor(math.Log10(x))-2)
	}
	return quantity.RoundFigures(math.Floor(x/step+1e-9)*step, 9)
}

// UsualGive is how far a press, its frame and the specimen give before the
// break where nobody measured it: 5 mm (common practice, no published source).
const UsualGive = quantity.Length(0.005)

// Stored returns the elastic energy that a break lets go,
//
//	energy = force x give / 2,
//
// as if all that gives were a spring.
func Stored(f quantity.Force, give quantity.Length) quantity.Energy {
	return quantity.Energy(float64(f) * float64(give) / 2)
}

// HeadSpeed is the travel of the press that ASTM D905 asks for, 5 mm/min. A hand
// pump cannot hold it: record the strokes, and claim nothing.
const HeadSpeed = quantity.Speed(0.005 / 60)

// Strokes returns how many strokes of a hand pump a minute move the ram at a
// speed,
//
//	strokes = travel a minute x ram area / stroke volume;
//
// zero when the stroke volume is not positive. What the oil and the hose give
// is left out.
func Strokes(v quantity.Speed, ram quantity.Area, stroke quantity.Volume) float64 {
	if !(stroke > 0) {
		return 0
	}
	return float64(v.PerMinute()) * float64(ram) / float64(stroke)
}

// StrokesOf returns the strokes a minute of a rig at the rate that the plan
// wants, HeadSpeed where it names none; zero when it does not give the ram or
// the volume of a stroke.
func StrokesOf(r tracker.Rig) float64 {
	if r.Rate > 0 {
		return Strokes(r.Rate, r.RamArea, r.Stroke)
	}
	return Strokes(HeadSpeed, r.RamArea, r.Stroke)
}

// GiveOf returns how far a rig gives before a break: what was measured
// (FromPlan), else UsualGive (Custom).
func GiveOf(r tracker.Rig) (quantity.Length, Status) {
	if r.Give > 0 {
		return r.Give, FromPlan
	}
	return UsualGive, Custom
}
