package quantity

import (
	"maps"
	"strings"
)

// The definitions that every inch-pound factor follows from.
const (
	inch    = 0.0254     // metres
	pound   = 0.45359237 // kilograms
	gravity = 9.80665    // metres per second squared
	lbf     = pound * gravity
	kgf     = gravity
	psi     = lbf / (inch * inch)

	squareFoot = 144 * inch * inch
	gallon     = 231 * inch * inch * inch // the US liquid gallon
)

// A unit turns a written value into SI: value x factor + offset.
type unit struct {
	name           string // canonical spelling
	factor, offset float64
}

// A kind is one sort of quantity: its name for messages, its units in the
// order in which a message lists them, and the spellings that mean one of them.
type kind struct {
	name     string
	units    []unit
	also     map[string]string // other spelling -> canonical
	trap     map[string]string // spelling refused -> what to write instead
	lowest   float64           // smallest value with a meaning, SI
	least    float64           // what is smaller, and not nothing, is a slip: nobody here handles it, SI
	most     float64           // what is larger is a slip, SI
	fraction bool              // "1 3/4" is how people write it
}

func lengths() kind {
	return kind{name: "length", least: 1e-7, most: 1e4, fraction: true, units: []unit{
		{name: "mm", factor: 1e-3}, {name: "cm", factor: 1e-2}, {name: "m", factor: 1},
		{name: "in", factor: inch}, {name: "ft", factor: 12 * inch}},
		also: map[string]string{`"`: "in", "inch": "in", "inches": "in"}}
}

func areas() kind {
	return kind{name: "area", least: 1e-10, most: 1e6, units: []unit{
		{name: "mm2", factor: 1e-6}, {name: "cm2", factor: 1e-4}, {name: "m2", factor: 1},
		{name: "in2", factor: inch * inch}, {name: "ft2", factor: squareFoot}},
		also: map[string]string{"sq in": "in2"}}
}

func masses() kind {
	return kind{name: "mass", least: 1e-9, most: 1e7, units: []unit{
		{name: "g", factor: 1e-3}, {name: "kg", factor: 1}, {name: "mg", factor: 1e-6},
		{name: "oz", factor: pound / 16}, {name: "lb", factor: pound}},
		also: map[string]string{"lbs": "lb"}}
}

// pressures are those above the air's, which is what a gauge shows: psig is psi.
func pressures() kind {
	return kind{name: "pressure", least: 1e-2, most: 1e12, units: []unit{
		{name: "MPa", factor: 1e6}, {name: "kPa", factor: 1e3}, {name: "Pa", factor: 1},
		{name: "bar", factor: 1e5}, {name: "psi", factor: psi}, {name: "ksi", factor: 1e3 * psi},
		{name: "kgf/cm2", factor: kgf * 1e4}, {name: "N/mm2", factor: 1e6}},
		also: map[string]string{"lbf/in2": "psi", "lb/in2": "psi", "lbs/in2": "psi", "psig": "psi"},
		trap: map[string]string{"psia": `psia counts from vacuum; write what a gauge shows above the air, in "psi"`}}
}

func forces() kind {
	return kind{name: "force", least: 1e-5, most: 1e10, units: []unit{
		{name: "N", factor: 1}, {name: "kN", factor: 1e3}, {name: "lbf", factor: lbf}, {name: "kgf", factor: kgf},
		{name: "US ton", factor: 2000 * lbf}, {name: "long ton", factor: 2240 * lbf}, {name: "t", factor: 1000 * kgf}},
		also: map[string]string{"US tons": "US ton", "short ton": "US ton", "short tons": "US ton",
			"long tons": "long ton", "tonne": "t", "tonnes": "t"},
		trap: map[string]string{"ton": bareTon, "tons": bareTon, "tonf": bareTon,
			"lb": `write "lbf" for a force`, "lbs": `write "lbf" for a force`, "kg": `write "kgf" for a force`}}
}

// bareTon names the three tons that a jack's plate may mean; they differ by up
// to 12 %, so none of them may be guessed.
const bareTon = `write "US ton" (2000 lbf), "long ton" (2240 lbf) or "t" (1000 kgf)`

func temperatures() kind {
	return kind{name: "temperature", lowest: -273.150001, most: 5000, // room for rounding F
		units: []unit{
			{name: "C", factor: 1}, {name: "F", factor: 1 / 1.8, offset: -32 / 1.8}},
		also: map[string]string{"°C": "C", "°F": "F"}}
}

func spreads() kind {
	return kind{name: "spread", least: 1e-6, most: 1e4, units: []unit{
		{name: "g/m2", factor: 1e-3}, {name: "kg/m2", factor: 1},
		{name: "lb/1000ft2", factor: pound / (1000 * squareFoot)}},
		also: map[string]string{"lb/1000 ft2": "lb/1000ft2", "lbs/1000ft2": "lb/1000ft2", "lbs/1000 ft2": "lb/1000ft2"}}
}

func densities() kind {
	const cubicFoot = 1728 * inch * inch * inch
	return kind{name: "density", least: 1e-2, most: 1e5, units: []unit{
		{name: "kg/m3", factor: 1}, {name: "g/cm3", factor: 1e3}, {name: "lb/ft3", factor: pound / cubicFoot}},
		also: map[string]string{"lbs/ft3": "lb/ft3"}}
}

func volumes() kind {
	return kind{name: "volume", least: 1e-12, most: 1e6, units: []unit{
		{name: "cm3", factor: 1e-6}, {name: "ml", factor: 1e-6}, {name: "l", factor: 1e-3}, {name: "in3", factor: inch * inch * inch}},
		also: map[string]string{"cc": "cm3"}}
}

func speeds() kind {
	return kind{name: "speed", least: 1e-10, most: 1e3, units: []unit{
		{name: "mm/min", factor: 1e-3 / 60}, {name: "mm/s", factor: 1e-3}, {name: "in/min", factor: inch / 60}}}
}

func shares() kind {
	return kind{name: "share", least: 1e-9, most: 1e3, units: []unit{{name: "%", factor: 0.01}}}
}

// readings are what a gauge may be marked in: every pressure and every force.
func readings() kind {
	p, f := pressures(), forces()
	maps.Copy(p.also, f.also)
	maps.Copy(p.trap, f.trap)
	return kind{name: "reading", least: f.least, most: p.most, units: append(p.units, f.units...), also: p.also, trap: p.trap}
}

// find returns the unit written as s, in its own spelling, in another one, or
// in another letter case where that cannot change the meaning.
func (k kind) find(s string) (unit, bool) {
	s = strings.NewReplacer("²", "2", "^2", "2", "³", "3", "^3", "3").Replace(strings.Join(strings.Fields(s), " "))
	for other, name := range k.also {
		if sameUnit(s, other) {
			s = name
		}
	}
	for _, u := range k.units {
		if u.name == s {
			return u, true
		}
	}
	for _, u := range k.units {
		if sameUnit(s, u.name) {
			return u, true
		}
	}
	return unit{}, false
}

// sameUnit compares without letter case, but keeps m (milli) and M (mega)
// apart where they are a prefix: a slip there is a factor of 1e9.
func sameUnit(a, b string) bool {
	if !strings.EqualFold(a, b) {
		return false
	}
	prefixed := len(b) > 1 && (b[0] == 'm' || b[0] == 'M')
	return !prefixed || a[0] == b[0]
}

// advice says what to write instead of the unit s.
func (k kind) advice(s string) string {
	for wrong, hint := range k.trap {
		if strings.EqualFold(wrong, s) {
			return hint
		}
	}
	for _, u := range k.units {
		if strings.EqualFold(u.name, s) {
			return "did you mean " + u.name + "?"
		}
	}
	return k.use()
}

// use says which units there are.
func (k kind) use() string {
	if len(k.units) == 1 {
		return "write it in " + k.units[0].name
	}
	return "use one of " + k.list()
}

// list names the units of k.
func (k kind) list() string {
	names := make([]string, len(k.units))
	for i, u := range k.units {
		names[i] = u.name
	}
	return strings.Join(names, ", ")
}
