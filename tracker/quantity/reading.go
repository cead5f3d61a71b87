package quantity

import (
	"errors"
	"fmt"
	"strconv"
)

// A Reading is what a gauge showed, in the unit it is marked in.
type Reading struct {
	Value float64
	Unit  string // canonical spelling: "MPa", "psi", "lbf", "US ton"
}

// ErrNoRam means that a pressure was to become a force without a ram area.
var ErrNoRam = errors.New("a pressure becomes a force only with the ram's area; give the rig ram_area or ram_bore in the plan")

// ParseReading reads what a gauge showed: any unit of pressure or force; not
// negative. Errors are *Error; a bare "ton" names the three tons.
func ParseReading(s string) (Reading, error) {
	value, u, _, err := readings().parse(s)
	if err != nil {
		return Reading{}, err
	}
	return Reading{Value: value, Unit: u.name}, nil
}

// String returns the reading as it would be typed, "1310 psi".
func (r Reading) String() string {
	return strconv.FormatFloat(r.Value, 'f', -1, 64) + " " + r.Unit
}

// IsForce reports whether r is a force, needing no ram area.
func (r Reading) IsForce() bool {
	_, ok := forces().find(r.Unit)
	return ok
}

// Pressure returns the gauge pressure, or an error when r is a force.
func (r Reading) Pressure() (Pressure, error) {
	u, ok := pressures().find(r.Unit)
	if !ok {
		return 0, fmt.Errorf("reading %q is not a pressure", r)
	}
	return Pressure(r.Value * u.factor), nil
}

// Force returns the force behind a reading,
//
//	force = gauge pressure x ram area,
//
// or the reading itself where the gauge shows force; ram is not looked at then.
// Seal friction and the weight of the tool are not taken off. A pressure with
// a ram area that is not positive gives ErrNoRam.
func (r Reading) Force(ram Area) (Force, error) {
	if u, ok := forces().find(r.Unit); ok {
		return Force(r.Value * u.factor), nil
	}
	p, err := r.Pressure()
	if err != nil {
		return 0, fmt.Errorf("reading %q has no unit of pressure or force", r)
	}
	if !(ram > 0) {
		return 0, ErrNoRam
	}
	return Force(float64(p) * float64(ram)), nil
}
