package quantity

import (
	"io"
	"math"
	"testing"
)

// TestSystem writes one quantity of each kind in both systems. The conversions
// follow from the exact factors that TestFactors checks.
func TestSystem(t *testing.T) {
	kn := func(x float64) Force { return Force(x * 1e3) }
	mm := Millimetres
	for _, c := range []struct {
		what         string
		write        func(System) string
		metric, inch string
	}{
		{"stress", func(s System) string { return s.Stress(Megapascals(9.876)) }, "9.88 MPa", "1432 psi"},
		{"stress of a reading", func(s System) string { return s.BreakStress(Megapascals(11.3456)) }, "11.3 MPa", "1646 psi"},
		{"mean", func(s System) string { return s.AboutStress(Megapascals(9.876)) }, "9.9 MPa", "1432 psi"},
		{"pressure", func(s System) string { return s.Pressure(Megapascals(1.2)) }, "1.2 MPa", "174 psi"},
		{"pressure foreseen", func(s System) string { return s.AboutPressure(Megapascals(12.345)) }, "12.3 MPa", "1790 psi"},
		{"force", func(s System) string { return s.Force(kn(14.4049)) }, "14.4 kN", "3238 lbf"},
		{"force foreseen", func(s System) string { return s.AboutForce(kn(14.4049)) }, "14.4 kN", "3240 lbf"},
		{"length", func(s System) string { return s.Length(mm(3.175)) }, "3.17 mm", "1/8 in"},
		{"to a 32nd", func(s System) string { return s.CutNumber(mm(100.8126)) }, "100.8", "3 31/32"}, // 3.969 in
		{"trim", func(s System) string { return s.Cut(mm(50)) }, "50 mm", "1 31/32 in"},               // 1.9685 in
		{"up to the whole", func(s System) string { return s.Cut(mm(50.5)) }, "50.5 mm", "2 in"},      // 1.988 in
		{"a hair", func(s System) string { return s.Length(mm(0.25)) }, "0.25 mm", "0.00984 in"},
		{"nothing", func(s System) string { return s.Cut(0) }, "0 mm", "0 in"},
		{"long", func(s System) string { return s.Length(mm(2438.4)) }, "2438 mm", "96 in"},
		{"longer", func(s System) string { return s.Length(mm(3048.1)) }, "3048 mm", "120 in"},
		{"measure", func(s System) string { return s.Measure(mm(47.625)) }, "47.6 mm", "1.875 in"},
		{"measure of a whole", func(s System) string { return s.MeasureNumber(mm(254)) }, "254", "10"},
		{"area", func(s System) string { return s.Area(Area(15.94e-4)) }, "15.94 cm²", "2.47 in²"},
		{"square", func(s System) string { return s.Square(Rectangle(mm(39), mm(41))) }, "39 mm x 39 mm", "1.5 in x 1.5 in"},
		{"mass", func(s System) string { return s.Mass(3.456) }, "3.5 kg", "7.6 lb"},
		{"adhesive", func(s System) string { return s.Dose(0.01234) }, "12.3 g", "12.3 g"},
		{"little water", func(s System) string { return s.Volume(1.3e-3) }, "1.3 L", "1.4 qt"},
		{"water", func(s System) string { return s.Volume(12.34e-3) }, "12.3 L", "3.3 gal"},
		{"a gallon", func(s System) string { return s.Volume(231 * 0.0254 * 0.0254 * 0.0254) }, "3.8 L", "1.0 gal"}, // 231 in3 by definition
		{"energy", func(s System) string { return s.Energy(50) }, "50 J", "37 ft lbf"},
		{"spread", func(s System) string { return s.Spread(0.2) }, "200 g/m²", "41 lb/1000 ft²"},
	} {
		if got := c.write(Metric); got != c.metric {
			t.Errorf("%s is %q, want %q", c.what, got, c.metric)
		}
		if got := c.write(Inch); got != c.inch {
			t.Errorf("%s in inches is %q, want %q", c.what, got, c.inch)
		}
	}
}

func TestSystemOf(t *testing.T) {
	for text, want := range map[string]System{"40 mm": Metric, "4 cm": Metric, "1 3/4 in": Inch, `1 3/4"`: Inch, "2 FT": Inch} {
		if got, err := SystemOf(text); got != want || err != nil {
			t.Errorf("%s is %v, %v", text, got, err)
		}
	}
	if _, err := SystemOf("40"); err == nil {
		t.Error("40 has a system")
	}
}

func TestFigures(t *testing.T) {
	for want, x := range map[string]float64{"0": 0, "0.00123": 0.001234, "1230": 1234, "-12.3": -12.34, "0.125": 0.12499999999999999, "1.02": 1.015} { // 1.015 is stored a hair below
		if got := Figures(x, 3); got != want {
			t.Errorf("%v is %s, want %s", x, got, want)
		}
	}
}

// A smaller bond suits too: what has its two figures keeps them, the rest is cut off.
func TestRoundDown(t *testing.T) {
	for x, want := range map[float64]float64{0: 0, 0.29: 0.29, 0.299: 0.29, 39.99: 39, 58: 58, 1234: 1200, -3.21: -3.21} {
		if got := roundDown(x, 2); !(math.Abs(got-want) <= 1e-12*math.Abs(want)) {
			t.Errorf("%v is cut to %v, want %v", x, got, want)
		}
	}
}

// What to write instead of a text without a number is shown in the units of the
// plan; other errors say the same to everybody.
func TestExplain(t *testing.T) {
	_, unread := ParseReading("abc")
	_, unit := ParseLength("3")
	for _, test := range []struct {
		s    System
		err  error
		want string
	}{
		{Metric, unread, `reading "abc" does not begin with a number; write a number and a unit, such as "12 MPa"`},
		{Inch, unread, `reading "abc" does not begin with a number; write a number and a unit, such as "12 psi"`},
		{Inch, unit, unit.Error()},
		{Inch, io.EOF, "EOF"},
	} {
		if got := test.s.Explain(test.err); got.Error() != test.want {
			t.Errorf("%s: %v, want %s", test.s, got, test.want)
		}
	}
	if Inch.Explain(nil) != nil {
		t.Error("no error is explained")
	}
}
