package strength

import (
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// The rules of marks that a strength bears of its own, beside those of the
// record.
const (
	NoReading   = "no reading"        // the break has none that can be read
	NoForce     = "no force"          // Reading is none without the ram area of Rig
	NominalArea = "nominal area"      // bond length and width were not measured
	OverGauge   = "over the gauge"    // Reading is over the gauge's span
	LowOnGauge  = "low on the gauge"  // Reading is in the lowest part of the span
	HighOnGauge = "high on the gauge" // Reading is in the highest part of the span
)

// The part of its span in which a gauge should be read.
const (
	GaugeLow  = 0.15
	GaugeHigh = 0.85
)

// A Mark is something about a specimen that a reader of its strength must know:
// of the record, or of the strength itself.
type Mark struct {
	Rule     string
	Asks     bool
	Recorded *tracker.Mark    // nil for one of the strength itself
	Reading  quantity.Reading // what the gauge showed, where the rule is about it
	Rig      string           // the rig that the try names, where the rule is about it
}

// OnGauge reports whether a rule is about the place of a reading on its gauge.
func OnGauge(rule string) bool {
	return rule == OverGauge || rule == LowOnGauge || rule == HighOnGauge
}

// marksOf are the marks that a life bears.
func marksOf(life *tracker.Life) (all []Mark) {
	for i, m := range life.Marks {
		all = append(all, Mark{Rule: string(m.Rule), Asks: m.Open(), Recorded: &life.Marks[i]})
	}
	return all
}
