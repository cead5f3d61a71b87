// Package quantity holds the typed quantities of the trade: SI inside, exact
// factors, and the writer's own unit kept where a person reads it back.
//
// A quantity is written as a number and a unit: "40 mm", "1 3/4 in",
// "1310 psi", "2.5 US ton". The space between them is optional. Numbers use a
// full stop for decimals and no thousands separators; inches and feet may be
// fractions. "²" and "^2" are read as "2". Letter case is forgiven where it
// cannot change the meaning, so "PSI" is psi but "mPa" is not MPa.
//
// Factors are exact by definition of the international inch, the avoirdupois
// pound and standard gravity, 9.80665 m/s2.
package quantity

import "math"

type (
	Length      float64 // metres
	Area        float64 // square metres
	Mass        float64 // kilograms
	Pressure    float64 // pascals; also stress
	Force       float64 // newtons
	Temperature float64 // degrees Celsius
	Spread      float64 // kilograms per square metre
	Share       float64 // a part of one; 0.8 is "80 %"
	Density     float64 // kilograms per cubic metre
	Volume      float64 // cubic metres
	Speed       float64 // metres per second
	Energy      float64 // joules
)

// Millimetres is a length of x mm.
func Millimetres(x float64) Length { return Length(x / 1e3) }

// MM returns l in millimetres.
func (l Length) MM() float64 { return tidy(float64(l) * 1e3) }

// IN returns l in inches.
func (l Length) IN() float64 { return float64(l) / inch }

// MM2 returns a in square millimetres.
func (a Area) MM2() float64 { return float64(a) * 1e6 }

// CM2 returns a in square centimetres.
func (a Area) CM2() float64 { return float64(a) * 1e4 }

// IN2 returns a in square inches.
func (a Area) IN2() float64 { return float64(a) / (inch * inch) }

// G returns m in grams.
func (m Mass) G() float64 { return tidy(float64(m) * 1e3) }

// KG returns m in kilograms.
func (m Mass) KG() float64 { return float64(m) }

// Megapascals is a stress of x MPa.
func Megapascals(x float64) Pressure { return Pressure(x * 1e6) }

// MPa returns p in megapascals, which are newtons per square millimetre.
func (p Pressure) MPa() float64 { return float64(p) / 1e6 }

// PSI returns p in pounds-force per square inch.
func (p Pressure) PSI() float64 { return float64(p) / psi }

// N returns f in newtons.
func (f Force) N() float64 { return float64(f) }

// KN returns f in kilonewtons.
func (f Force) KN() float64 { return float64(f) / 1e3 }

// LBF returns f in pounds-force.
func (f Force) LBF() float64 { return float64(f) / lbf }

// GM2 returns s in grams per square metre.
func (s Spread) GM2() float64 { return float64(s) * 1e3 }

// KGM3 returns d in kilograms per cubic metre.
func (d Density) KGM3() float64 { return float64(d) }

// CM3 returns v in cubic centimetres.
func (v Volume) CM3() float64 { return float64(v) * 1e6 }

// PerMinute returns the way made in a minute.
func (v Speed) PerMinute() Length { return Length(float64(v) * 60) }

// Percent returns s in percent.
func (s Share) Percent() float64 { return tidy(float64(s) * 100) }

// tidy drops what a change of unit leaves in the last binary places, so that
// 45.4 mm comes out as 45.4 and not as 45.400000000000006. It keeps 12
// decimals, far below anything measured here.
func tidy(x float64) float64 {
	if math.Abs(x) > 1e3 {
		return x
	}
	return math.Round(x*1e12) / 1e12
}

// Rectangle returns the area of a rectangle, length x width.
func Rectangle(length, width Length) Area { return Area(float64(length) * float64(width)) }

// Circle returns the area of a ram from its bore, pi d^2 / 4. Use the bore of
// the cylinder, not the diameter of the rod, for a ram that pushes.
func Circle(bore Length) Area { return Area(math.Pi / 4 * float64(bore) * float64(bore)) }

// Stress returns the mean shear stress on a bond,
//
//	stress = force / area.
//
// An area that is not positive gives NaN, never a number that could be
// mistaken for a strength.
func Stress(f Force, a Area) Pressure {
	if !(a > 0) {
		return Pressure(math.NaN())
	}
	return Pressure(float64(f) / float64(a))
}
