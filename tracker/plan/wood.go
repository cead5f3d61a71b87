package plan

import (
	"fmt"
	"regexp"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// readWood reads [wood].
func readWood(t table, s *tracker.Study) {
	s.Wood.Species, _ = t.someText("species")
	s.Wood.Kerf, _ = parsed(t, "kerf", "length", quantity.ParseLength)
	s.Wood.Spare, _ = t.shareOf("spare")
	s.Wood.Density = positive(t, "density", "density", quantity.ParseDensity)
	s.Wood.Dry, s.Wood.Wet = readWoodShear(t)
	for _, board := range t.list("boards") {
		s.Wood.Boards = append(s.Wood.Boards, readBoard(board, s.Wood.Boards))
	}
}

// readWoodShear reads the person's own strength of the wood, which goes before
// the table's: { dry = "13.2 MPa", wet = "9.3 MPa", source = "..." }.
func readWoodShear(t table) (dry, wet tracker.GivenShear) {
	shear := t.sub("shear")
	if shear.absent {
		return dry, wet
	}
	source := readSource(shear)
	dry = givenShear(shear, "dry", source)
	wet = givenShear(shear, "wet", source)
	if !shear.has("dry") && !shear.has("wet") {
		shear.here("", note{Error, "missing", shear.title() + " gives no strength", "add " + t.r.units.Choose(`dry = "13.2 MPa" or wet = "9.3 MPa"`, `dry = "1910 psi" or wet = "1350 psi"`) + ", or both"})
	}
	return dry, wet
}

func givenShear(t table, key, source string) tracker.GivenShear {
	if !t.has(key) {
		t.ask(key)
		return tracker.GivenShear{}
	}
	return tracker.GivenShear{Shear: positive(t, key, "pressure", quantity.ParsePressure), Source: source}
}

// readSource reads where a figure comes from: one that nobody can look up again
// is no better than a guess.
func readSource(t table) string {
	source, ok := t.someText("source")
	if !ok && !t.has("source") {
		t.here("source", note{Error, "source", t.title() + " has no source", `say where the figure comes from: source = "supplier's sheet, 2024" or "three of my own breaks"`})
	}
	return source
}

func readBoard(t table, before []tracker.Board) tracker.Board {
	b := tracker.Board{Name: t.needText("name")}
	b.Size = readBox(t, "size")
	b.Moisture, _ = parsed(t, "moisture", "share", quantity.ParseShare)
	for _, other := range before {
		if other.Name == b.Name && b.Name != "" {
			t.at("name", note{Error, "duplicate-board", fmt.Sprintf("two boards are named %q", b.Name), "give each board a name of its own"})
		}
	}
	return b
}

// readSpecimen reads [specimen].
func readSpecimen(t table, s *tracker.Study) {
	sp := &s.Specimen
	sp.Blank = readBox(t, "blank")
	sp.BondLength, sp.BondWidth = readBond(t)
	sp.Spread = positive(t, "spread", "spread", quantity.ParseSpread)
	sp.Pressure, sp.Contact = readPressure(t)
	sp.Clamps = t.count("clamps", 10000)
	sp.TimePerBreak = positive(t, "time_per_break", "duration", schedule.ParseDuration)
	sp.TimePerBond = positive(t, "time_per_bond", "duration", schedule.ParseDuration)
	sp.ClampForce = positive(t, "clamp_force", "force", quantity.ParseForce)
	sp.MeasuredWithin = positive(t, "measured_within", "length", quantity.ParseLength)
	sp.Caliper = positive(t, "caliper", "length", quantity.ParseLength)
	checkFit(t, s)
}

// readPressure reads a clamping pressure, or "contact" for a bond that is only
// held in place.
func readPressure(t table) (p quantity.Pressure, contact bool) {
	if text, _ := t.values["pressure"].(string); strings.TrimSpace(text) == "contact" {
		t.ask("pressure")
		return 0, true
	}
	return positive(t, "pressure", "pressure", quantity.ParsePressure), false
}

// inchZone is a zone of the United States. Source: the file zone.tab of the IANA time
// zone database, country code US.
var inchZone = regexp.MustCompile(`^(US/.*|Pacific/Honolulu|America/(New_York|Detroit|Kentucky/.*|Indiana/.*|Chicago|Menominee|` +
	`North_Dakota/.*|Denver|Boise|Phoenix|Los_Angeles|Anchorage|Juneau|Sitka|Metlakatla|Yakutat|Nome|Adak))$`)

// unitsOfBond is the system in which the writer of the bond thinks: one side in
// inches is enough. It is looked at before anything is read, for the examples
// in what is said of the other tables. A plan that has no bond yet is refused; its
// blank chooses the examples, else its zone.
func unitsOfBond(root table) (in quantity.System) {
	specimen, _ := root.values["specimen"].(map[string]any)
	study, _ := root.values["study"].(map[string]any)
	text, given := specimen["bond"].(string)
	if !given {
		text, given = specimen["blank"].(string)
	}
	if zone, _ := study["zone"].(string); !given && inchZone.MatchString(zone) {
		return quantity.Inch
	}
	for _, part := range splitSides(text) {
		if system, err := quantity.SystemOf(part); err == nil {
			in = max(in, system)
		}
	}
	return in
}

func readBond(t table) (length, width quantity.Length) {
	if !t.has("bond") && !t.absent {
		t.here("bond", note{Error, "missing", "the specimen has no bond", "add bond = " + t.r.units.Choose(`"40 mm x 45 mm"`, `"1 1/2 in x 1 3/4 in"`) + ", along the grain first"})
	}
	sides := readSides(t, "bond", 2)
	return sides[0], sides[1]
}

func readBox(t table, key string) tracker.Box {
	sides := readSides(t, key, 3)
	return tracker.Box{Length: sides[0], Width: sides[1], Thickness: sides[2]}
}

// readSides reads n lengths with an x between them; the result has n places
// whatever the file holds.
func readSides(t table, key string, n int) []quantity.Length {
	sides := make([]quantity.Length, n)
	text, ok := get[string](t, key)
	if !ok {
		return sides
	}
	parts := splitSides(text)
	if len(parts) != n {
		t.at(key, note{Error, "sides", fmt.Sprintf("%s %.60q has %d lengths, not %d", t.child(key), text, len(parts), n), "write " + example(n, t.r.units)})
		return sides
	}
	for i, part := range parts {
		side, err := quantity.ParseLength(part)
		if err != nil {
			t.at(key, badValue("length", err))
			return sides
		}
		sides[i] = side
	}
	for _, side := range sides {
		if side <= 0 {
			t.notPositive(key)
			break
		}
	}
	return sides
}

func splitSides(text string) []string {
	parts := strings.Split(strings.NewReplacer("×", "x", "X", "x").Replace(text), "x")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts
}

func example(n int, u quantity.System) string {
	if n == 2 {
		return u.Choose(`"40 mm x 45 mm"`, `"1 1/2 in x 1 3/4 in"`) + ": along the grain, across it"
	}
	return u.Choose(`"48 mm x 45 mm x 20 mm"`, `"2 in x 1 3/4 in x 3/4 in"`) + ": along the grain, across it, thickness"
}

// checkFit compares the bond with the blank and the blank with the boards.
func checkFit(t table, s *tracker.Study) {
	blank := s.Specimen.Blank
	if blank == (tracker.Box{}) {
		return
	}
	if s.Specimen.BondLength > blank.Length || s.Specimen.BondWidth > blank.Width {
		t.at("bond", note{Error, "bond-outside-blank", "the bond is larger than the blank", "along the grain comes first in both"})
	}
	for i, b := range s.Wood.Boards {
		if b.Size != (tracker.Box{}) && !fits(blank, b.Size) {
			t.at("blank", note{Error, "blank-outside-board", fmt.Sprintf("the blank does not fit into board %d, %q", i+1, b.Name), "along the grain comes first in both"})
		}
	}
}

func fits(inner, outer tracker.Box) bool {
	return inner.Length <= outer.Length && inner.Width <= outer.Width && inner.Thickness <= outer.Thickness
}
