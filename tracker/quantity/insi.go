package quantity

import "fmt"

// InSI writes a pressure, a force, a length or a mass as what it comes to in MPa,
// N, mm or g, to nine digits, so that a change of units does not tell two spellings
// of one quantity apart. Any other text is quoted.
func InSI(text string) string {
	for _, of := range []struct {
		kind kind
		unit string
		per  float64 // of the unit to one in SI
	}{{pressures(), "MPa", 1e-6}, {forces(), "N", 1}, {lengths(), "mm", 1e3}, {masses(), "g", 1e3}} {
		if _, _, si, err := of.kind.parse(text); err == nil {
			return fmt.Sprintf("%.9g%s", si*of.per, of.unit)
		}
	}
	return fmt.Sprintf("%q", text)
}
