package quantity

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// TestFactors checks every factor of testdata/units.csv: exact definitions,
// cross-checked with GNU units 2.22.
func TestFactors(t *testing.T) {
	f, err := os.Open("../../testdata/units.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range rows[1:] {
		want, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := convert(row[0], row[1]); ok {
			checked++
			near(t, row[0]+" in "+row[1], got, want, 1e-14)
		}
	}
	if checked != 14 {
		t.Errorf("checked %d factors, want 14", checked)
	}
}

// convert says how many of the unit to one of the unit from is.
func convert(from, to string) (float64, bool) {
	for _, k := range []kind{lengths(), areas(), masses(), pressures(), forces()} {
		a, okA := k.find(plain(from))
		b, okB := k.find(plain(to))
		if okA && okB {
			return a.factor / b.factor, true
		}
	}
	return 0, false
}

// plain turns the names used in units.csv into spellings of ours.
func plain(s string) string {
	name, _, _ := strings.Cut(s, " (")
	names := map[string]string{"short ton-force": "US ton", "long ton-force": "long ton", "metric tonne-force": "t"}
	if n, ok := names[name]; ok {
		return n
	}
	return name
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %.17g, want %.17g", what, got, want)
	}
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// TestPress checks a hand press with a ram of 2.47 in2 to the pound. Common
// practice, no published source.
func TestPress(t *testing.T) {
	ram := must(ParseArea("2.47 in2"))
	for psi, want := range map[string]float64{"1497 psi": 3698, "406 psi": 1003, "77 psi": 190} {
		f := must(must(ParseReading(psi)).Force(ram))
		if got := math.Round(f.LBF()); got != want {
			t.Errorf("%s = %v lbf, want %v", psi, got, want)
		}
	}
	ton := must(ParseForce("1 US ton"))
	gauge := Pressure(float64(ton) / float64(ram)).PSI()
	if got := math.Round(gauge/10) * 10; got != 810 {
		t.Errorf("one US ton shows %v psi, want 810", got)
	}
}

// TestStress checks the worked sums of published block-shear and lap-shear
// geometry: 9000 lbf on 1.5 in x 2 in is 3000 psi or 20.684272 MPa (area of
// ASTM D905, summary by a public source); 2000 N on 10 mm x 20 mm is 10 N/mm2.
func TestStress(t *testing.T) {
	d905 := Rectangle(must(ParseLength("1 1/2 in")), must(ParseLength("2 in")))
	near(t, "D905 area", d905.MM2(), 1935.48, 1e-12)
	tau := Stress(must(ParseForce("9000 lbf")), d905)
	near(t, "D905 psi", tau.PSI(), 3000, 1e-12)
	near(t, "D905 MPa", tau.MPa(), 20.684272, 1e-7)
	lap := Stress(must(ParseForce("2 kN")), Rectangle(must(ParseLength("1 cm")), must(ParseLength("20mm"))))
	near(t, "lap MPa", lap.MPa(), 10, 1e-12)
	if !math.IsNaN(float64(Stress(1, 0))) {
		t.Error("no area gives a number")
	}
	near(t, "bore", Circle(must(ParseLength("45.05 mm"))).CM2(), 15.94, 1e-4)
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		got  any
		err  error
		want float64
	}{
		pair(ParseLength("1/8 in"))(3.175e-3), pair(ParseLength("1 3/4 in"))(44.45e-3),
		pair(ParseLength("1-3/4 in"))(44.45e-3), pair(ParseLength(`1 3/4"`))(44.45e-3),
		pair(ParseLength("40mm"))(0.04), pair(ParseLength(" 4.0  cm "))(0.04), pair(ParseLength(".5 ft"))(0.1524),
		pair(ParseLength("1e3 m"))(1000), pair(ParseLength("0 mm"))(0), pair(ParseLength("5 CM"))(0.05),
		pair(ParseArea("15.94 cm2"))(15.94e-4), pair(ParseArea("15.94 cm²"))(15.94e-4), pair(ParseArea("2 in^2"))(2 * 645.16e-6),
		pair(ParseMass("12 oz"))(0.3401942775), pair(ParseMass("1.5 kg"))(1.5),
		pair(ParsePressure("1.2 MPa"))(1.2e6), pair(ParsePressure("12 kgf/cm2"))(12 * 98066.5),
		pair(ParsePressure("3 N/mm2"))(3e6), pair(ParsePressure("10 BAR"))(1e6), pair(ParsePressure("1 ksi"))(6894757.293168361),
		pair(ParseForce("98 kN"))(98e3), pair(ParseForce("2 US ton"))(17792.886461042), pair(ParseForce("2 us tons"))(17792.886461042),
		pair(ParseForce("1 long ton"))(9964.01641818352), pair(ParseForce("1 t"))(9806.65),
		pair(ParseTemperature("68 F"))(20), pair(ParseTemperature("-4 °C"))(-4), pair(ParseTemperature("-459.67 F"))(-273.15),
		pair(ParseSpread("200 g/m2"))(0.2), pair(ParseSpread("40 lb/1000ft2"))(0.195297),
		// Density and volume: exact from the inch and the pound, as GNU units gives them.
		pair(ParseDensity("680 kg/m3"))(680), pair(ParseDensity("0.68 g/cm³"))(680), pair(ParseDensity("1 lb/ft3"))(16.018463),
		pair(ParseVolume("2.0 cm3"))(2e-6), pair(ParseVolume("2 cc"))(2e-6), pair(ParseVolume("0.5 in^3"))(8.193532e-6),
		pair(ParseSpeed("5 mm/min"))(5e-3 / 60), pair(ParseSpeed("0.2 in/min"))(5.08e-3 / 60),
		pair(ParseShare("9.6 %"))(0.096), pair(ParseShare("80%"))(0.8),
	} {
		if c.err != nil {
			t.Error(c.err)
		}
		got, _ := strconv.ParseFloat(fmt.Sprint(c.got), 64)
		near(t, fmt.Sprintf("%T", c.got), got, c.want, 1e-6)
	}
}

// parsed is one line of TestParse.
type parsed = struct {
	got  any
	err  error
	want float64
}

func pair[T any](v T, err error) func(float64) parsed {
	return func(want float64) parsed { return parsed{v, err, want} }
}

// TestSpellingsOfPounds holds the other spellings of psi, lb and what is made of
// them against NIST SP 811 (2008), appendix B.8, seven digits each: "pound-force
// per square inch (psi) (lbf/in2)" is 6.894 757 E+03 Pa, "pound (avoirdupois)"
// 4.535 924 E-01 kg, "pound per cubic foot" 1.601 846 E+01 kg/m3. That psig is psi
// above the air, and so what a gauge shows, is common practice, no published source.
func TestSpellingsOfPounds(t *testing.T) {
	for _, unit := range []string{"psi", "psig", "PSIG", "lb/in2", "lbf/in2", "lbs/in2", "lb/in^2", "lbf/in²"} {
		near(t, unit, float64(must(ParsePressure("1 "+unit))), 6.894757e3, 5e-7)
		near(t, unit, float64(must(must(ParseReading("1 "+unit)).Pressure())), 6.894757e3, 5e-7)
	}
	for _, unit := range []string{"lb", "lbs", "LBS"} {
		near(t, unit, float64(must(ParseMass("1 "+unit))), 4.535924e-1, 5e-7)
	}
	near(t, "lbs/ft3", float64(must(ParseDensity("1 lbs/ft3"))), 1.601846e1, 5e-7)
	near(t, "lbs/1000ft2", float64(must(ParseSpread("1000 lbs/1000 ft2"))), 4.535924e-1/0.09290304, 1e-6)
	if got := must(ParseReading("1310 psig")).String(); got != "1310 psi" {
		t.Errorf("1310 psig is %q", got)
	}
	if _, err := ParseReading("1310 psia"); err == nil || !strings.Contains(err.Error(), "counts from vacuum") {
		t.Errorf("psia: %v", err)
	}
	for _, unit := range []string{"lb", "lbs"} { // a mass; as a force it is asked about
		if _, err := ParseReading("1310 " + unit); err == nil || !strings.Contains(err.Error(), `write "lbf"`) {
			t.Errorf("%s: %v", unit, err)
		}
	}
}

func TestRefused(t *testing.T) {
	for in, want := range map[string]string{
		"12 ton": `"US ton" (2000 lbf), "long ton" (2240 lbf) or "t" (1000 kgf)`, "12 TON": "long ton", "3 tons": "long ton",
		"5 lb": `write "lbf"`, "5 kg": `write "kgf"`, "-5 N": "less than nothing", "5": "has no unit", "": "number",
		"N": "number", "NaN N": "number", "inf N": "number", "+Inf kN": "number", "0x10 N": "unit", "1_000 N": "unit",
		"1,310 lbf": "comma", "1e400 N": "number", "1e308 kN": "out of range", "5 Newton": "use one of N, kN",
		"1/2 N": "is a fraction", "1/0 N": "unit", "5 N m": "unit",
	} {
		_, err := ParseForce(in)
		var typed *Error
		if !errors.As(err, &typed) || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseForce(%q): %v, want %q", in, err, want)
		}
	}
	if _, err := ParsePressure("12 mPa"); err == nil || !strings.Contains(err.Error(), "did you mean MPa?") {
		t.Errorf("mPa: %v", err)
	}
	if _, err := ParseTemperature("-300 C"); err == nil {
		t.Error("below absolute zero passes")
	}
	if _, err := ParseShare("0.8"); err == nil {
		t.Error("a share without %% passes")
	}
}

func TestRatio(t *testing.T) {
	for in, want := range map[string]string{"5:1": "[5 1]", " 100 : 20:5 ": "[100 20 5]", "2.5:1": "[2.5 1]"} {
		if got := must(ParseRatio(in)); fmt.Sprint(got) != want {
			t.Errorf("%q is %v, want %s", in, got, want)
		}
	}
	for _, in := range []string{"", "5", "5:0", "5:-1", "5:1:1:1:1:1:1", "a:b", "inf:1", "0x5:1", "1e9:1", "5 to 1"} {
		var typed *Error
		if _, err := ParseRatio(in); !errors.As(err, &typed) || typed.Hint == "" {
			t.Errorf("%q: %v", in, err)
		}
	}
}

func TestReading(t *testing.T) {
	for in, want := range map[string]string{"1310 PSI": "1310 psi", "9.10 MPa": "9.1 MPa", "2.5 us tons": "2.5 US ton", "0 bar": "0 bar", "-0 N": "0 N"} {
		r := must(ParseReading(in))
		if r.String() != want {
			t.Errorf("%q reads back as %q, want %q", in, r, want)
		}
	}
	if must(ParseReading("3 psi")).IsForce() || !must(ParseReading("3 t")).IsForce() {
		t.Error("IsForce is wrong")
	}
	if _, err := must(ParseReading("3 psi")).Force(0); !errors.Is(err, ErrNoRam) {
		t.Errorf("no ram: %v", err)
	}
	if f := must(must(ParseReading("3 kN")).Force(0)); f != 3000 {
		t.Errorf("3 kN = %v N", f)
	}
	if _, err := (Reading{}).Force(1); err == nil {
		t.Error("a reading without a unit gives a force")
	}
}

// FuzzParse feeds every parser and reads what a reading prints.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"1 3/4 in", "1310 psi", "12 ton", "-4 °C", "1e308 kN", "2,5 mm", "0x1 N", "1/0 in", "80 %", "5 kgf/cm²"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, k := range []kind{lengths(), areas(), masses(), pressures(), forces(), spreads(), shares()} {
			if _, _, si, err := k.parse(s); err == nil && !(si >= 0 && si <= math.MaxFloat64) {
				t.Errorf("%s %q = %v", k.name, s, si)
			}
		}
		_, _ = ParseTemperature(s)
		r, err := ParseReading(s)
		if err != nil {
			return
		}
		if again, err := ParseReading(r.String()); err != nil || again != r {
			t.Errorf("%q prints as %q, which reads as %v, %v", s, r, again, err)
		}
	})
}

// What no hand, board or press has to do with is a slip of the pen, and told with the limit; sums of
// what is left stay finite.
func TestOutOfRange(t *testing.T) {
	for _, k := range []kind{lengths(), areas(), masses(), pressures(), forces(), temperatures(), spreads(), shares(), densities(), volumes(), speeds(), readings()} {
		for _, u := range k.units {
			for _, text := range []string{"1e308 " + u.name, "1e40 " + u.name} {
				if _, _, _, err := k.parse(text); err == nil || !strings.Contains(err.Error(), "is out of range; write at most") {
					t.Errorf("%s %s: %v", k.name, text, err)
				}
			}
			if _, _, _, err := k.parse("1e-300 " + u.name); k.least > 0 && (err == nil || !strings.Contains(err.Error(), "is out of range; write at least")) {
				t.Errorf("%s 1e-300 %s: %v", k.name, u.name, err)
			}
		}
		if k.most == 0 || k.least == 0 && k.name != "temperature" {
			t.Errorf("%s has no range", k.name)
		}
	}
	if _, err := ParseLength("1e308 m"); err == nil || !strings.Contains(err.Error(), "write at most 10000 m") {
		t.Errorf("1e308 m: %v", err)
	}
}
