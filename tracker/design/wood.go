package design

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"soaktag/labels"
	"soaktag/tracker/quantity"
)

// woodTable is the published table, with its provenance in its first lines.
//
//go:embed wood_shear.csv
var woodTable string

// WoodSource is where the strengths and gravities of Woods come from.
const WoodSource = "Wood Handbook FPL-GTR-282 table 5-3b"

// A Status says how far a number was confirmed.
type Status string

// The words for it that a person reads.
const (
	Confirmed  Status = "confirmed"                      // read in the source named, or a public copy of it
	FromMemory Status = "from memory"                    // the source is named but was not read
	Custom     Status = "common practice, not published" // no published source
	FromPlan   Status = "given in the plan"              // the person's own, with the source they name
)

// A Wood is one row of the published table. Zero means the table prints no
// value there.
type Wood struct {
	Name, Handbook        string            // "white ash", and as the table prints it, "Ash, White"
	Also                  []string          // trade names that can mean nothing else in the table
	Binomial              string            // where it was read
	Dry, Green            quantity.Pressure // shear parallel to the grain, at 12 % moisture and green
	Gravity, GravityGreen float64           // oven-dry mass over volume at 12 % and green, relative to water
	Intersection          quantity.Share    // moisture above which strength no longer changes (table 5-13, else 25 %)
	Status                Status
}

// usualIntersection is what the handbook says to take for a wood that its table
// 5-13 does not name.
const usualIntersection = quantity.Share(0.25)

// Woods returns the published table of woods grown in the United States, in its
// order, hardwoods first. The caller owns the slice.
func Woods() []Wood {
	r := csv.NewReader(strings.NewReader(woodTable))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil // a test reads the embedded table; it cannot change afterwards
	}
	woods := make([]Wood, 0, len(rows)-1)
	for _, row := range rows[1:] {
		woods = append(woods, readWood(row))
	}
	return woods
}

func readWood(row []string) Wood {
	w := Wood{
		Name: row[0], Handbook: row[1], Binomial: row[3], Gravity: cellNumber(row[4]), GravityGreen: cellNumber(row[5]),
		Dry: psi(row[6]), Green: psi(row[7]), Intersection: usualIntersection, Status: Status(row[10]),
	}
	for _, name := range strings.Split(row[2], ";") {
		if name = strings.TrimSpace(name); name != "" {
			w.Also = append(w.Also, name)
		}
	}
	if mp := cellNumber(row[9]); mp > 0 {
		w.Intersection = quantity.Share(mp / 100)
	}
	return w
}

// cellNumber reads a cell of an embedded table; an empty one is zero.
func cellNumber(cell string) float64 {
	x, _ := strconv.ParseFloat(cell, 64)
	return x
}

// psi reads a cell in pounds-force per square inch with the exact factor.
func psi(cell string) quantity.Pressure {
	if cell == "" {
		return 0
	}
	p, _ := quantity.ParsePressure(cell + " psi")
	return p
}

// An UnknownWood is a species that the table does not have, or a name that
// fits several of its rows.
type UnknownWood struct {
	Name string
	Near []string // the nearest names, best first
}

func (e *UnknownWood) Error() string {
	return fmt.Sprintf("the wood %.40q is not one of the %d in %s; nearest: %s",
		e.Name, len(Woods()), WoodSource, strings.Join(e.Near, ", "))
}

// FindWood returns the wood of a name: everyday ("white ash"), the handbook's
// ("Ash, white") or the binomial, whatever the case and the order of its words.
// A name that fits no row or more than one ("oak") is never guessed: the error is
// an *UnknownWood with the names that come nearest.
func FindWood(name string) (Wood, error) {
	woods, asked := Woods(), nameKey(name)
	for _, w := range woods {
		for _, known := range w.names() {
			if asked != "" && nameKey(known) == asked {
				return w, nil
			}
		}
	}
	return Wood{}, &UnknownWood{Name: name, Near: nearWoods(name, woods)}
}

func (w Wood) names() []string {
	return append([]string{w.Name, w.Handbook, w.Binomial}, w.Also...)
}

// nameKey is what two ways to write one name have in common: its words, each
// once, in order.
func nameKey(name string) string {
	words := nameWords(name)
	slices.Sort(words)
	return strings.Join(slices.Compact(words), " ")
}

func nameWords(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
}

// mostNear is how many names an error offers; "oak" alone fits 17.
const mostNear = 4

// nearWoods ranks the woods by how many words of the name they have, then by how
// few letters differ.
func nearWoods(name string, woods []Wood) []string {
	type ranked struct {
		name            string
		missed, letters int
	}
	asked := nameWords(name)
	list := make([]ranked, len(woods))
	for i, w := range woods {
		list[i] = ranked{w.Name, missed(asked, w), letters(name, w)}
	}
	slices.SortStableFunc(list, func(a, b ranked) int { return 10*(a.missed-b.missed) + a.letters - b.letters })
	near := make([]string, 0, mostNear)
	for _, r := range list[:min(mostNear, len(list))] {
		near = append(near, r.name)
	}
	return near
}

// missed counts the asked words that a wood has in none of its names.
func missed(asked []string, w Wood) int {
	has := nameWords(strings.Join(w.names(), " "))
	n := 0
	for _, word := range asked {
		if !slices.Contains(has, word) {
			n++
		}
	}
	return n
}

// letters is the least number of letters to change, over the names of a wood.
func letters(name string, w Wood) int {
	least := math.MaxInt
	for _, known := range w.names() {
		if known != "" {
			least = min(least, labels.Distance(nameKey(name), nameKey(known)))
		}
	}
	return least
}

// A Strength is a shear strength to reckon with and where it comes from.
type Strength struct {
	Shear  quantity.Pressure
	Source string
	Status Status
}

// wet is the one state at break in which wood counts as green: a soak of days
// takes it above fibre saturation near the bond. Part-dried wood is reckoned as
// dry, which asks more of a rig.
const wet = "wet"

// ShearOf returns the shear strength parallel to the grain of a species in the
// state at break that a plan names: "wet" as green, everything else as dry, at
// the moisture given (zero: 12 %). The name is read by FindWood.
func ShearOf(species, state string, moisture quantity.Share) (Strength, error) {
	w, err := FindWood(species)
	if err != nil {
		return Strength{}, err
	}
	return w.Shear(state, moisture)
}

// Shear returns the shear strength parallel to the grain at a state and
// moisture, as ShearOf. From 12 % it goes by
//
//	P = P12 (P12/Pg)^((12-M)/(Mp-12))
//
// below the intersection moisture Mp, and is the green value above it. Moisture
// is over oven-dry mass, 0 to 200 %. A value that the table does not print is an
// error, never a guess from another species.
//
// Source: Wood Handbook, table 5-3b for the values, equation 5-3 and table 5-13
// for the correction; its own example is white ash in bending at 8 %.
func (w Wood) Shear(state string, moisture quantity.Share) (Strength, error) {
	s := Strength{Shear: w.Dry, Source: fmt.Sprintf("%s, %s", WoodSource, w.Handbook), Status: w.Status}
	switch {
	case moisture < 0 || moisture > 2 || math.IsNaN(float64(moisture)):
		return Strength{}, &UnknownShear{fmt.Sprintf("a moisture of %.3g %% is not possible", moisture.Percent()), "write it over oven-dry mass, such as 9 %"}
	case state == wet || moisture >= w.Intersection:
		s.Shear, s.Source = w.Green, s.Source+", green"
	case moisture != 0 && moisture != 0.12 && w.Dry > 0 && w.Green > 0:
		s.Shear = AtMoisture(w.Dry, w.Green, moisture, w.Intersection)
		s.Source += fmt.Sprintf(", from 12 %% to %.3g %% by equation 5-3", moisture.Percent())
	case moisture != 0 && moisture != 0.12:
		return Strength{}, &UnknownShear{fmt.Sprintf("%s prints shear for %s in one state only, so it cannot be taken to %.3g %%", WoodSource, w.Name, moisture.Percent()), GiveShear}
	}
	if s.Shear == 0 {
		return Strength{}, &UnknownShear{fmt.Sprintf("%s prints no shear for %s in the state %.20q", WoodSource, w.Name, state), GiveShear}
	}
	return s, nil
}

// An UnknownShear says why the strength of a wood cannot be known, and what to do.
type UnknownShear struct{ What, Do string }

func (e *UnknownShear) Error() string { return e.What + "; " + e.Do }

// GiveShear is what to do, and what to write in the plan, where the table does
// not help.
const GiveShear = `give its shear with its source in [wood]: shear = { dry = "...", source = "..." }`

// AtMoisture takes a strength of clear wood from 12 % to another moisture below
// the intersection one, by equation 5-3 of the Wood Handbook:
//
//	P = P12 (P12/Pg)^((12-M)/(Mp-12))
//
// with p12 and green in the same unit, positive, and mp above 12 %. It holds near
// 21 C.
func AtMoisture(p12, green quantity.Pressure, m, mp quantity.Share) quantity.Pressure {
	power := (0.12 - float64(m)) / (float64(mp) - 0.12)
	return p12 * quantity.Pressure(math.Pow(float64(p12/green), power))
}

// Density returns the density of the wood at a moisture (zero: 12 %),
//
//	density = 1000 G (1 + M),
//
// with G at 12 % up to the intersection moisture and green above. G changes a
// little between the two; that is left out. Zero when the table prints no
// gravity. Source: Wood Handbook, chapter 4.
func (w Wood) Density(moisture quantity.Share) quantity.Density {
	if moisture == 0 {
		moisture = 0.12
	}
	g := w.Gravity
	if moisture >= w.Intersection || g == 0 {
		g = w.GravityGreen
	}
	return quantity.Density(1000 * g * (1 + float64(moisture)))
}
