package quantity

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// TestEveryUnit holds each unit of each kind against what it is in SI: the metric
// ones by the SI brochure's prefixes, the others by NIST SP 811 (2008), appendix
// B.8, to its seven digits: square foot 9.290 304 E-02, cubic inch 1.638 706 E-05,
// ounce (avoirdupois) 2.834 952 E-02, pound per square foot 4.882 428 E+00 (from
// memory, and 0.45359237/0.09290304 by hand), inch per second 2.54 E-02.
func TestEveryUnit(t *testing.T) {
	for _, c := range []struct {
		kind  kind
		units map[string]float64
	}{
		{lengths(), map[string]float64{"mm": 1e-3, "cm": 1e-2, "m": 1, "in": 2.54e-2, "ft": 3.048e-1}},
		{areas(), map[string]float64{"mm2": 1e-6, "cm2": 1e-4, "m2": 1, "in2": 6.4516e-4, "ft2": 9.290304e-2}},
		{masses(), map[string]float64{"mg": 1e-6, "g": 1e-3, "kg": 1, "oz": 2.834952e-2, "lb": 4.535924e-1}},
		{pressures(), map[string]float64{"Pa": 1, "kPa": 1e3, "MPa": 1e6, "bar": 1e5, "N/mm2": 1e6, "kgf/cm2": 9.80665e4, "psi": 6.894757e3, "ksi": 6.894757e6}},
		{forces(), map[string]float64{"N": 1, "kN": 1e3, "lbf": 4.448222, "kgf": 9.80665, "t": 9.80665e3, "US ton": 8.896443e3, "long ton": 9.964016e3}},
		{temperatures(), map[string]float64{"C": 1, "F": 5.0 / 9}}, // a degree; where it begins is in TestParse
		{spreads(), map[string]float64{"g/m2": 1e-3, "kg/m2": 1, "lb/1000ft2": 4.882428e-3}},
		{densities(), map[string]float64{"kg/m3": 1, "g/cm3": 1e3, "lb/ft3": 1.601846e1}},
		{volumes(), map[string]float64{"cm3": 1e-6, "ml": 1e-6, "l": 1e-3, "in3": 1.638706e-5}},
		{speeds(), map[string]float64{"mm/min": 1.0 / 60000, "mm/s": 1e-3, "in/min": 2.54e-2 / 60}},
		{shares(), map[string]float64{"%": 1e-2}},
	} {
		if len(c.kind.units) != len(c.units) {
			t.Errorf("%s has %d units, %d are checked", c.kind.name, len(c.kind.units), len(c.units))
		}
		for _, u := range c.kind.units {
			near(t, c.kind.name+" in "+u.name, u.factor, c.units[u.name], 5e-7)
		}
	}
}

// TestSpellings: what is also written for a unit means that unit.
func TestSpellings(t *testing.T) {
	for _, c := range []struct {
		kind  kind
		units map[string]string
	}{
		{lengths(), map[string]string{`"`: "in", "inch": "in", "inches": "in"}},
		{areas(), map[string]string{"sq in": "in2", "SQ  IN": "in2", "ft²": "ft2"}},
		{forces(), map[string]string{"short ton": "US ton", "short tons": "US ton", "US tons": "US ton",
			"long tons": "long ton", "tonne": "t", "tonnes": "t"}},
		{temperatures(), map[string]string{"°C": "C", "°F": "F", "f": "F"}},
		{spreads(), map[string]string{"lb/1000 ft2": "lb/1000ft2", "lbs/1000ft2": "lb/1000ft2", "lbs/1000 ft²": "lb/1000ft2"}},
		{volumes(), map[string]string{"cc": "cm3", "ML": ""}}, // not a million litres either
	} {
		for text, want := range c.units {
			if u, _ := c.kind.find(text); u.name != want {
				t.Errorf("%s in %q is in %q, want %q", c.kind.name, text, u.name, want)
			}
		}
	}
	for _, text := range []string{"ton", "tons", "tonf", "TONF"} {
		if got := forces().advice(text); got != bareTon {
			t.Errorf("%q: %s", text, got)
		}
	}
}

// TestLimits: the smallest and the largest that are read, and what is said a
// ten-thousandth past them, in the unit as written. The limits are our own.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		kind                      kind
		least, most, under, above string
		told                      string // after "write at least", "write at most"
	}{
		{lengths(), "1e-4 mm", "10000 m", "0.9999e-4 mm", "10001 m", "0.0001 mm, 10000 m"},
		{areas(), "1e-10 m2", "1e6 m2", "0.9999e-10 m2", "1.0001e10 cm2", "0.0000000001 m2, 10000000000 cm2"},
		{masses(), "1e-9 kg", "1e7 kg", "0.9999e-9 kg", "1.0001e7 kg", "0.000000001 kg, 10000000 kg"},
		{pressures(), "0.01 Pa", "1e6 MPa", "0.009999 Pa", "1.0001e9 kPa", "0.01 Pa, 1000000000 kPa"},
		{forces(), "1e-5 N", "1e7 kN", "0.9999e-5 N", "1.0001e7 kN", "0.00001 N, 10000000 kN"},
		{temperatures(), "-273.15 C", "5000 C", "-273.16 C", "9032.9 F", ", 9000 F"},
		{spreads(), "1e-6 kg/m2", "10000 kg/m2", "0.9999e-6 kg/m2", "10001 kg/m2", "0.000001 kg/m2, 10000 kg/m2"},
		{densities(), "0.01 kg/m3", "100 g/cm3", "0.009999 kg/m3", "100.01 g/cm3", "0.01 kg/m3, 100 g/cm3"},
		{volumes(), "1e-6 cm3", "1e9 l", "0.9999e-6 cm3", "1.0001e9 l", "0.000001 cm3, 1000000000 l"},
		{speeds(), "1e-7 mm/s", "1e6 mm/s", "0.9999e-7 mm/s", "6.0006e7 mm/min", "0.0000001 mm/s, 60000000 mm/min"},
		{shares(), "1e-7 %", "100000 %", "0.9999e-7 %", "100010 %", "0.0000001 %, 100000 %"},
	} {
		for _, text := range []string{c.least, c.most} {
			if _, _, _, err := c.kind.parse(text); err != nil {
				t.Error(err)
			}
		}
		least, most, _ := strings.Cut(c.told, ", ")
		for text, want := range map[string]string{c.under: "write at least " + least + ",", c.above: "write at most " + most} {
			if least == "" && text == c.under {
				want = "write a number that is possible"
			}
			_, _, _, err := c.kind.parse(text)
			var typed *Error
			if !errors.As(err, &typed) || !strings.HasPrefix(typed.Hint+",", want) {
				t.Errorf("%s %s: %v, want %q", c.kind.name, text, err, want)
			}
		}
	}
}

// TestInSI: one quantity in two spellings reads the same, and another one does not.
func TestInSI(t *testing.T) {
	for text, want := range map[string]string{
		"1310 psi": "9.03213205MPa", "12 N/mm2": "12MPa", "2 US ton": "17792.8865N", "2 kN": "2000N",
		"1 3/4 in": "44.45mm", "4 cm": "40mm", "12 oz": "340.194278g", "1.5 kg": "1500g", "wet": `"wet"`, "5": `"5"`,
	} {
		if got := InSI(text); got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
}

// TestNumbers reads what a number may begin and end with.
func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{
		"1 0/4 in": 0.0254, "3/4 in": 0.01905, "1/16 ft": 0.01905, "1-1/2 FT": 0.4572, "15/16 in": 0.0238125,
		"+2 m": 2, "2 M": 2, "1E1 m": 10, "1e+1 m": 10, "25e-1 m": 2.5, "2. m": 2,
	} {
		got, err := ParseLength(text)
		if err != nil {
			t.Error(err)
		}
		near(t, text, float64(got), want, 1e-15)
	}
	for text, want := range map[string]string{
		"+": "does not begin", "-": "does not begin", ".": "does not begin", "": "does not begin",
		"1e": `the unit "e"`, "1e m": `the unit "e m"`, "1e- m": `the unit "e- m"`, "3/4 cm": "is a fraction", "1 3/ in": "the unit", "7": "has no unit", "1 1/2": "has no unit",
	} {
		if _, err := ParseLength(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}

// TestGiven: what comes back in a person's unit is what went in.
func TestGiven(t *testing.T) {
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"5 mm/min", must(ParseSpeed("5 mm/min")).PerMinute().MM(), 5},
		{"9.6 %", must(ParseShare("9.6 %")).Percent(), 9.6},
		{"45.4 mm", Millimetres(45.4).MM(), 45.4},
		{"999.9 mm", Length(0.9999).MM(), 999.9},
		{"0.1 % + 0.2 %", (Share(0.001) + Share(0.002)).Percent(), 0.3},
	} {
		if c.got != c.want {
			t.Errorf("%s comes back as %v", c.what, c.got)
		}
	}
	// Above 1000 nothing is dropped: the next number after 1 km is still another one.
	if x := Length(1.0000000000000002e6).MM(); x == 1e9 {
		t.Errorf("%v lost its last place", x)
	}
}

// TestParts: six parts and a million of one are read, one more is not.
func TestParts(t *testing.T) {
	if got := must(ParseRatio("1:2:3:4:5:1e6")); fmt.Sprint(got) != "[1 2 3 4 5 1e+06]" {
		t.Error(got)
	}
	if got, err := ParseRatio("1000001:1"); err == nil {
		t.Error(got)
	}
}
