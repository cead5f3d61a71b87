package quantity

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// An Error says what is wrong with a written quantity and what to write
// instead.
type Error struct {
	Kind    string // "length", "force", ...
	Input   string // as written
	Problem string // "has no unit"
	Hint    string // "use one of mm, cm, m, in, ft"

	unread *kind // what was wanted of a text that holds no number; else nil
}

func (e *Error) Error() string {
	return fmt.Sprintf("%s %.60q %s; %s", e.Kind, e.Input, e.Problem, e.Hint)
}

// ParseLength reads a length in mm, cm, m, in or ft; not negative. Inches and
// feet may be fractions, "1/8 in" or "1 3/4 in". Errors are *Error here and in
// every other Parse function.
func ParseLength(s string) (Length, error) { return parseAs[Length](lengths(), s) }

// ParseArea reads an area in mm2, cm2, m2, in2 or ft2; not negative.
func ParseArea(s string) (Area, error) { return parseAs[Area](areas(), s) }

// ParseMass reads a mass in mg, g, kg, oz or lb (lbs); not negative.
func ParseMass(s string) (Mass, error) { return parseAs[Mass](masses(), s) }

// ParsePressure reads a pressure or stress in Pa, kPa, MPa, bar, psi, ksi,
// kgf/cm2 or N/mm2; not negative. psig, lb/in2 and lbf/in2 are psi.
func ParsePressure(s string) (Pressure, error) { return parseAs[Pressure](pressures(), s) }

// ParseForce reads a force in N, kN, lbf, kgf, "US ton", "long ton" or "t";
// not negative. A bare "ton" is an error that names the three.
func ParseForce(s string) (Force, error) { return parseAs[Force](forces(), s) }

// ParseTemperature reads a temperature in C or F; not below absolute zero.
func ParseTemperature(s string) (Temperature, error) { return parseAs[Temperature](temperatures(), s) }

// ParseSpread reads the mass of adhesive on an area in g/m2, kg/m2 or
// lb/1000ft2; not negative.
func ParseSpread(s string) (Spread, error) { return parseAs[Spread](spreads(), s) }

// ParseShare reads a share in percent; not negative. It may exceed 100 %:
// soaked wood holds more water than its dry mass.
func ParseShare(s string) (Share, error) { return parseAs[Share](shares(), s) }

// ParseDensity reads a density in kg/m3, g/cm3 or lb/ft3; not negative.
func ParseDensity(s string) (Density, error) { return parseAs[Density](densities(), s) }

// ParseVolume reads a volume in cm3, ml, l or in3; not negative.
func ParseVolume(s string) (Volume, error) { return parseAs[Volume](volumes(), s) }

// ParseSpeed reads how fast a press moves, in mm/min, mm/s or in/min; not
// negative.
func ParseSpeed(s string) (Speed, error) { return parseAs[Speed](speeds(), s) }

func parseAs[T ~float64](k kind, s string) (T, error) {
	_, _, si, err := k.parse(s)
	return T(si), err
}

// parse reads a number and a unit of k: the value as written, its unit, and
// the value in SI.
func (k kind) parse(s string) (float64, unit, float64, error) {
	fail := func(problem, hint string) (float64, unit, float64, error) {
		return 0, unit{}, 0, &Error{Kind: k.name, Input: s, Problem: problem, Hint: hint}
	}
	value, fraction, rest, ok := number(strings.TrimSpace(s))
	switch {
	case !ok:
		return 0, unit{}, 0, &Error{Kind: k.name, Input: s, Problem: "does not begin with a number", Hint: k.example(Metric), unread: &k}
	case rest == "":
		return fail("has no unit", k.use())
	case rest[0] == ',':
		return fail("has a comma in its number", "write decimals with a full stop and thousands without a separator")
	}
	u, ok := k.find(rest)
	if !ok {
		return fail(fmt.Sprintf("has the unit %.20q, which is not a clear unit of %s", rest, k.noun()), k.advice(rest))
	}
	if fraction && !(k.fraction && (u.name == "in" || u.name == "ft")) {
		return fail("is a fraction", "write decimals; fractions are for in and ft")
	}
	si := value*u.factor + u.offset
	switch {
	case si < k.lowest:
		return fail("is less than nothing", "write a number that is possible")
	case !(si <= k.most):
		return fail("is out of range", "write at most "+u.write(k.most))
	case si != 0 && math.Abs(si) < k.least:
		return fail("is out of range", "write at least "+u.write(k.least)+", or leave it out")
	}
	if value == 0 { // "-0 mm" is plain nothing
		value, si = 0, u.offset
	}
	return value, u, si, nil
}

// write is a value in SI in a unit, roughly.
func (u unit) write(si float64) string {
	return Figures((si-u.offset)/u.factor, 2) + " " + u.name
}

// inches are the units that people write who think in inches.
var inches = []string{"in", "in2", "in3", "in/min", "oz", "psi", "lbf", "F", "lb/1000ft2", "lb/ft3"}

// example says what to write, with the first unit of k that the system has.
func (k kind) example(s System) string {
	name := k.units[0].name
	for _, u := range k.units {
		if s == Inch && slices.Contains(inches, u.name) {
			name = u.name
			break
		}
	}
	return fmt.Sprintf("write a number and a unit, such as %q", "12 "+name)
}

// noun says what the units of k measure.
func (k kind) noun() string {
	if k.name == "reading" {
		return "pressure or force"
	}
	return k.name
}

// number reads the number that s begins with and returns what follows it:
// "12.5", "-4", "1e3", "1/8", "1 3/4" or "1-3/4". Infinities, NaN, hexadecimal
// and underscores are not numbers here.
func number(s string) (value float64, fraction bool, rest string, ok bool) {
	n := decimalLen(s)
	value, err := strconv.ParseFloat(s[:n], 64)
	if n == 0 || err != nil {
		return 0, false, s, false
	}
	rest = s[n:]
	if part, after, ok := ratio(s); ok {
		return part, true, strings.TrimSpace(after), true
	}
	if part, after, ok := ratio(strings.TrimPrefix(strings.TrimLeft(rest, " "), "-")); ok && digitsLen(s) == n && len(rest) > 0 {
		return value + part, true, strings.TrimSpace(after), true
	}
	return value, false, strings.TrimSpace(rest), true
}

// ratio reads "3/4" at the start of s.
func ratio(s string) (value float64, rest string, ok bool) {
	n := digitsLen(s)
	if n == 0 || n == len(s) || s[n] != '/' {
		return 0, s, false
	}
	d := digitsLen(s[n+1:])
	over, err1 := strconv.ParseFloat(s[:n], 64)
	under, err2 := strconv.ParseFloat(s[n+1:n+1+d], 64)
	if err1 != nil || err2 != nil || under == 0 {
		return 0, s, false
	}
	return over / under, s[n+1+d:], true
}

// decimalLen returns the length of the decimal number that s begins with: sign,
// digits, point, digits, and an exponent only when digits follow its letter.
func decimalLen(s string) int {
	n := 0
	if n < len(s) && (s[n] == '+' || s[n] == '-') {
		n++
	}
	whole := digitsLen(s[n:])
	n += whole
	if n < len(s) && s[n] == '.' {
		part := digitsLen(s[n+1:])
		whole += part
		n += 1 + part
	}
	if whole == 0 {
		return 0
	}
	return n + exponentLen(s[n:])
}

func exponentLen(s string) int {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return 0
	}
	n := 1
	if n < len(s) && (s[n] == '+' || s[n] == '-') {
		n++
	}
	if d := digitsLen(s[n:]); d > 0 {
		return n + d
	}
	return 0
}

func digitsLen(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}
