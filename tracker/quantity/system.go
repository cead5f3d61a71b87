package quantity

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A System is the units in which quantities are written for a person: those in
// which the person wrote the plan. What other programs read is always SI, and
// what a gauge showed stays in the unit on its dial.
//
// A number is rounded to what it is worth: what was measured more finely than
// what is only foreseen, which the methods named About write. A number never
// has an exponent unless its method says so. Adhesive is weighed in grams in
// both systems: scales that are fine enough for a batch are marked in them.
type System uint8

// The systems. The zero System is Metric.
const (
	Metric System = iota // mm, cm², L, kg, kN, MPa, J, g/m²
	Inch                 // in, in², qt and gal, lb, lbf, psi, ft lbf, lb/1000 ft²
)

// String returns "metric" or "inch".
func (s System) String() string { return s.Choose("metric", "inch") }

// Choose returns the words for the system, such as an example of what to write.
func (s System) Choose(metric, inch string) string {
	if s == Inch {
		return inch
	}
	return metric
}

// SystemOf returns the system of the unit that a length is written in: Inch
// for in and ft. The error is that of ParseLength.
func SystemOf(length string) (System, error) {
	_, u, _, err := lengths().parse(length)
	if err == nil && (u.name == "in" || u.name == "ft") {
		return Inch, nil
	}
	return Metric, err
}

// Explain gives an error of a Parse function its example in the units of the
// system. Errors without an example, and those of others, stay as they are.
func (s System) Explain(err error) error {
	var e *Error
	if !errors.As(err, &e) || e.unread == nil {
		return err
	}
	told := *e
	told.Hint = e.unread.example(s)
	return &told
}

// StressUnit is the unit of every stress: MPa or psi.
func (s System) StressUnit() string { return s.Choose("MPa", "psi") }

// StressIn returns p as a number of that unit.
func (s System) StressIn(p Pressure) float64 {
	if s == Inch {
		return p.PSI()
	}
	return p.MPa()
}

// StressDecimals is how many decimals a measured stress has: two in MPa, none
// in psi.
func (s System) StressDecimals() int {
	if s == Inch {
		return 0
	}
	return 2
}

// StressNumber writes a measured stress to 0.01 MPa or 1 psi, without the unit,
// for a column that names it.
func (s System) StressNumber(p Pressure) string {
	return strconv.FormatFloat(s.StressIn(p), 'f', s.StressDecimals(), 64)
}

// Stress writes a measured stress to 0.01 MPa or 1 psi.
func (s System) Stress(p Pressure) string { return s.StressNumber(p) + " " + s.StressUnit() }

// BreakStress writes what a reading that was just taken comes to: to three
// figures of MPa, as many as a gauge gives, or to 1 psi.
func (s System) BreakStress(p Pressure) string {
	if s == Inch {
		return s.Stress(p)
	}
	return strconv.FormatFloat(p.MPa(), 'g', 3, 64) + " MPa"
}

// AboutStress writes a mean in a sentence, to 0.1 MPa or 1 psi: the digits of a
// column would say more than so few specimens can.
func (s System) AboutStress(p Pressure) string {
	return strconv.FormatFloat(s.StressIn(p), 'f', max(0, s.StressDecimals()-1), 64) + " " + s.StressUnit()
}

// Pressure writes a pressure that a person chose, to 0.01 MPa, without zeros
// behind, or to 1 psi.
func (s System) Pressure(p Pressure) string {
	if s == Inch {
		return strconv.FormatFloat(p.PSI(), 'f', 0, 64) + " psi"
	}
	return shortest(p.MPa(), 2) + " MPa"
}

// AboutPressure writes a pressure that was worked out beforehand, to three
// figures of MPa or psi.
func (s System) AboutPressure(p Pressure) string {
	return Figures(s.StressIn(p), 3) + " " + s.StressUnit()
}

// Force writes what a reading comes to: to four figures of kN, with an exponent
// from 10,000 kN, or to 1 lbf.
func (s System) Force(f Force) string {
	if s == Inch {
		return strconv.FormatFloat(f.LBF(), 'f', 0, 64) + " lbf"
	}
	return strconv.FormatFloat(f.KN(), 'g', 4, 64) + " kN"
}

// AboutForce writes a force that was worked out beforehand, to three figures of
// kN or lbf.
func (s System) AboutForce(f Force) string {
	if s == Inch {
		return Figures(f.LBF(), 3) + " lbf"
	}
	return Figures(f.KN(), 3) + " kN"
}

// LengthUnit is the unit of every length: mm or in.
func (s System) LengthUnit() string { return s.Choose("mm", "in") }

func (s System) lengthIn(l Length) float64 {
	if s == Inch {
		return l.IN()
	}
	return l.MM()
}

// LengthNumber writes a length of stock without the unit: to three figures of mm,
// at least to the whole, or to the nearest 1/32 in, in lowest terms.
func (s System) LengthNumber(l Length) string {
	x := s.lengthIn(l)
	if text, ok := fraction(x); ok && s == Inch {
		return text
	}
	if x >= 100 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// Length writes a length of stock to three figures of mm, or to 1/32 in.
func (s System) Length(l Length) string { return s.LengthNumber(l) + " " + s.LengthUnit() }

// MeasureNumber writes a length that a saw or a rule is set to, to 0.1 mm or
// 0.001 in, without zeros behind and without the unit.
func (s System) MeasureNumber(l Length) string {
	if s == Inch {
		return plainNumber(math.Round(l.IN()*1000) / 1000)
	}
	return plainNumber(math.Round(l.MM()*10) / 10)
}

// Measure writes a length that a saw or a rule is set to, to 0.1 mm or
// 0.001 in, without zeros behind.
func (s System) Measure(l Length) string { return s.MeasureNumber(l) + " " + s.LengthUnit() }

// CutNumber writes a length to saw along a rule, to 0.1 mm or to the nearest
// 1/32 in, as MeasureNumber and LengthNumber do.
func (s System) CutNumber(l Length) string {
	if s == Inch {
		return s.LengthNumber(l)
	}
	return s.MeasureNumber(l)
}

// Cut writes a length to saw along a rule, to 0.1 mm or to the nearest 1/32 in.
func (s System) Cut(l Length) string { return s.CutNumber(l) + " " + s.LengthUnit() }

// fraction writes inches to the nearest 1/32 in lowest terms, as rules are
// marked: 3 31/32. It is false for a length that would be nothing.
func fraction(in float64) (string, bool) {
	whole, parts := math.Floor(math.Round(in*32)/32), 32
	of := int(math.Round(in*32) - whole*32)
	for of > 0 && of%2 == 0 {
		of, parts = of/2, parts/2
	}
	switch {
	case of == 0:
		return plainNumber(whole), whole != 0 || in == 0
	case whole == 0:
		return fmt.Sprintf("%d/%d", of, parts), true
	}
	return fmt.Sprintf("%s %d/%d", plainNumber(whole), of, parts), true
}

// Area writes an area to 0.01 cm² or 0.01 in².
func (s System) Area(a Area) string {
	if s == Inch {
		return strconv.FormatFloat(a.IN2(), 'f', 2, 64) + " in²"
	}
	return strconv.FormatFloat(a.CM2(), 'f', 2, 64) + " cm²"
}

// Square writes an area as the square that has it, to two figures of mm or in,
// rounded down: a smaller bond suits too.
func (s System) Square(a Area) string {
	side := math.Sqrt(a.MM2())
	if s == Inch {
		side = math.Sqrt(a.IN2())
	}
	text := Figures(roundDown(side, 2), 2) + " " + s.LengthUnit()
	return text + " x " + text
}

// Mass writes the mass of something heavy to two figures of kg or lb.
func (s System) Mass(m Mass) string {
	if s == Inch {
		return Figures(float64(m)/pound, 2) + " lb"
	}
	return Figures(m.KG(), 2) + " kg"
}

// Dose writes a mass of adhesive to 0.1 g, in both systems.
func (s System) Dose(m Mass) string { return strconv.FormatFloat(m.G(), 'f', 1, 64) + " g" }

// Volume writes a volume of water to 0.1 L, or to 0.1 of a US quart, from one
// gallon on of a US gallon.
func (s System) Volume(v Volume) string {
	switch {
	case s == Metric:
		return strconv.FormatFloat(v.CM3()/1e3, 'f', 1, 64) + " L"
	case v < gallon:
		return strconv.FormatFloat(float64(v)/(gallon/4), 'f', 1, 64) + " qt"
	}
	return strconv.FormatFloat(float64(v)/gallon, 'f', 1, 64) + " gal"
}

// Energy writes what a break lets go to 1 J or 1 ft lbf.
func (s System) Energy(e Energy) string {
	if s == Inch {
		return strconv.FormatFloat(float64(e)/(12*inch*lbf), 'f', 0, 64) + " ft lbf"
	}
	return strconv.FormatFloat(float64(e), 'f', 0, 64) + " J"
}

// Spread writes how much adhesive goes on an area, to 1 g/m² or 0.1 lb/1000 ft²
// without a zero behind.
func (s System) Spread(x Spread) string {
	if s == Inch {
		return shortest(float64(x)*1000*squareFoot/pound, 1) + " lb/1000 ft²"
	}
	return shortest(x.GM2(), 0) + " g/m²"
}

// shortest writes x with at most so many decimals.
func shortest(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

func plainNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// Figures writes x to n significant figures, never with an exponent.
func Figures(x float64, n int) string { return plainNumber(RoundFigures(x, n)) }

// RoundFigures rounds x to n significant figures; zero, infinities and NaN are
// returned as they are. A hair below a half is a half, so that a sum tells the
// same whichever way it was worked.
func RoundFigures(x float64, n int) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return x
	}
	scale := math.Pow(10, float64(n-1)-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale*(1+1e-12)) / scale
}

// roundDown cuts a positive number off after n significant figures.
func roundDown(x float64, n int) float64 {
	if !(x > 0) || math.IsInf(x, 0) {
		return x
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-float64(n-1))
	return math.Floor(x/step+1e-9) * step
}
