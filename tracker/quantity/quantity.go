// Package quantity holds the typed quantities of the trade: SI inside, exact
// factors, and the writer's own unit kept where a person reads it back.
package quantity

type (
	Length      float64 // metres
	Area        float64 // square metres
	Mass        float64 // kilograms
	Pressure    float64 // pascals; also stress
	Force       float64 // newtons
	Temperature float64 // degrees Celsius
	Spread      float64 // kilograms per square metre
	Share       float64 // a part of one; 0.8 is "80 %"
)

// A Reading is what a gauge showed, in the unit it is marked in.
type Reading struct {
	Value float64
	Unit  string // as written, in its canonical spelling: "MPa", "psi", "lbf", "US ton"
}
