package report

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"soaktag/tracker/quantity"
)

//go:embed wood_shear.csv
var woodTable string

// A wood is the published shear strength of a species, parallel to the grain.
type wood struct {
	Species    string
	Dry, Green float64 // MPa, at 12 % moisture and green; Green 0: not in the table
	Source     string
}

const handbook = "Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-282, 2021), table 5-3b: averages of small clear specimens"

// woodOf finds a species in the table, in whatever order its words stand
// ("white ash", "Ash, white"), or by its botanical name; nil when it is not
// there. A name that leaves something open, such as "ash", is not there.
func woodOf(species string) *wood {
	r := csv.NewReader(strings.NewReader(woodTable))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || species == "" {
		return nil
	}
	for _, row := range rows[1:] {
		if slices.Equal(nameWords(species), nameWords(row[0])) || strings.EqualFold(strings.TrimSpace(species), row[1]) {
			return newWood(species, row)
		}
	}
	return nil
}

// nameWords are the words of a name, each once, in order of the alphabet.
func nameWords(name string) []string {
	apart := func(r rune) bool { return strings.ContainsRune(" ,-()", r) }
	words := strings.FieldsFunc(strings.ToLower(name), apart)
	slices.Sort(words)
	return slices.Compact(words)
}

func newWood(species string, row []string) *wood {
	w := &wood{Species: species, Dry: mpa(row[2]), Green: mpa(row[3]), Source: handbook}
	if row[4] != "yes" {
		w.Source += " (this row agrees with table 5-3a and was not confirmed in 5-3b)"
	}
	return w
}

// mpa turns a number of psi into MPa; 0 for an empty cell.
func mpa(psi string) float64 {
	p, err := quantity.ParsePressure(psi + " psi")
	if _, bad := strconv.ParseFloat(psi, 64); bad != nil || err != nil {
		return 0
	}
	return p.MPa()
}

// Retention is what is left of the wood's own strength when it is green; 0
// when not known.
func (w *wood) Retention() float64 {
	if w == nil || w.Dry == 0 {
		return 0
	}
	return w.Green / w.Dry
}
