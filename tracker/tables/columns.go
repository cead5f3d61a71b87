package tables

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"soaktag/labels"
)

// A Column is one that a table to be read may have.
type Column struct {
	Name     string
	About    string // what stands in it, in a few words
	Example  string // a cell; empty where About says enough
	Required bool
	also     []string // what people call it, in plain letters: see plainName
}

// EventColumns are the columns of a table of events, in the order of a row.
func EventColumns() []Column {
	return []Column{
		{Name: "specimen", About: "code, serial or your own name for it", Example: "HBR-017-J", Required: true,
			also: []string{"code", "label", "name", "serial", "sample", "piece", "specimencode", "specimenname", "specimenid"}},
		{Name: "stage", About: "a stage of the plan, or faces, damaged, lost, found, withdrawn, clock", Example: "break", Required: true,
			also: []string{"step", "stagename", "what"}},
		{Name: "at", About: "when: a time, or a range A..B", Example: "2026-03-17 10:00", Required: true,
			also: []string{"when", "date", "time", "datetime", "dateandtime", "datetimeat", "timestamp", "happenedat"}},
		{Name: "plus_minus_min", About: "at is known to within so many minutes", Example: "10",
			also: []string{"plusminus", "plusminusminutes"}},
		{Name: "id", About: "your own id of the row: the same id is the same event", Example: "A17", also: []string{"eventid", "rowid"}},
		{Name: "recorded_at", About: "when it was written down (now unless given)", Example: "2026-03-17 18:00",
			also: []string{"recorded", "recordedon", "writtendown", "writtendownat"}},
		{Name: "by", About: "who did it", Example: "Anna", also: []string{"who", "recordedby", "writtenby", "doneby"}},
		{Name: "note", About: "a remark to keep with it", Example: "clamp slipped",
			also: []string{"notes", "remark", "remarks", "comment", "comments"}},
		{Name: "half", About: "1 or 2; or behind the code, HBR-017-J/1", Example: "1", also: []string{"halves", "whichhalf"}},
		{Name: "device", About: "on which device it was noted", Example: "P2"},
		{Name: "clock", About: "device: at is that device's own reading, to be corrected", Example: "device"},
		{Name: "bond_length", About: "of the bond, with its unit", Example: "40.1 mm", also: []string{"length"}},
		{Name: "bond_width", About: "of the bond, with its unit", Example: "1 3/4 in", also: []string{"width"}},
		{Name: "mass_before_g", About: "before the soak, in grams", Example: "59.9", also: []string{"weightbefore", "weightbeforeg"}},
		{Name: "mass_after_g", About: "after the soak, in grams", Example: "71.2", also: []string{"weightafter", "weightafterg"}},
		{Name: "reading", About: "break: of the gauge, with its unit; clock: what it showed", Example: "1310 psi",
			also: []string{"gauge", "gaugereading", "load", "maxload", "breakload", "breakingload"}},
		{Name: "rig", About: "break: on which rig (the plan's only one unless given)", Example: "press"},
		{Name: "ended", About: "break: separated, stopped, fixture gave way, slipped, press limit, bottomed out, fell apart", Example: "separated",
			also: []string{"end", "ending", "howended", "howitended", "outcome"}},
		{Name: "wood_failure_pct", About: "break, faces: how much failed in the wood", Example: "80",
			also: []string{"woodfailure", "woodfail", "woodfailurepercent", "wood", "wf", "wfpct", "woodpct"}},
		{Name: "failure_mode", About: "break, faces: how it failed", Example: "CF", also: []string{"mode", "modeoffailure", "failmode", "failure"}},
		{Name: "shallow", About: "faces: yes where a few fibres only failed", Example: "yes"},
	}
}

// SpecimenColumns are the columns of a table of specimens. board is required
// where the plan has boards.
func SpecimenColumns(boards bool) []Column {
	return []Column{
		{Name: "name", About: "your own mark on it", Example: "CAS-D1", Required: true,
			also: []string{"mark", "specimen", "label", "specimenname", "sample"}},
		{Name: "adhesive", About: "the plan's key", Example: "CAS", Required: true, also: []string{"glue"}},
		{Name: "treatment", About: "the plan's key", Example: "dry", Required: true},
		{Name: "board", About: "the plan's name of it, where it has boards", Example: "A", Required: boards, also: []string{"plank"}},
		{Name: "bonded_block", About: "those sawn from one glue-up share it", Example: "3"},
		{Name: "bond_length", About: "of the bond, with its unit", Example: "40.1 mm", also: []string{"length"}},
		{Name: "bond_width", About: "of the bond, with its unit", Example: "1 3/4 in", also: []string{"width"}},
	}
}

// checkHeader refuses a file that lacks a column or has one that is nearly one
// of ours: half of what it says would be left behind. Of other unknown ones it
// warns.
func (s *sheet) checkHeader(columns []Column) {
	if len(s.columns) == 0 {
		return
	}
	meant := map[string]bool{}
	var unknown []string
	for _, name := range s.order {
		if slices.ContainsFunc(columns, func(c Column) bool { return c.Name == name }) {
			continue
		}
		near := s.nearly(name, columns)
		for _, ours := range near {
			meant[ours] = true
		}
		if len(near) == 0 {
			unknown = append(unknown, fmt.Sprintf("%q", name))
			continue
		}
		s.problem(1, "column %q is nearly %s: call it so, or give it another name to leave it out", name, strings.Join(near, " or "))
	}
	for _, c := range columns {
		if _, ok := s.columns[c.Name]; c.Required && !ok && !meant[c.Name] {
			s.problem(1, "column %q is missing", c.Name)
		}
	}
	if len(unknown) > 0 {
		slices.Sort(unknown)
		s.warn(1, "unknown columns are not read: %s", strings.Join(unknown, ", "))
	}
}

// nearly lists the columns that one of another name is most likely meant for, of
// those that the file lacks: another spelling, another word for it, ours with a
// unit behind it, or a slip of the hand in a long name.
func (s *sheet) nearly(name string, columns []Column) (names []string) {
	plain := plainName(name)
	for _, alike := range []func(Column) bool{
		func(c Column) bool { return plain == plainName(c.Name) || slices.Contains(c.also, plain) },
		func(c Column) bool { return partOf(name, c.Name) || withUnit(plain, plainName(c.Name)) },
		func(c Column) bool { return slipped(plain, plainName(c.Name)) },
	} {
		for _, c := range columns {
			if _, there := s.columns[c.Name]; !there && alike(c) {
				names = append(names, c.Name)
			}
		}
		if len(names) > 0 {
			return names
		}
	}
	return nil
}

// plainName keeps letters and digits, in lower case; a % is left out as the
// _pct that it stands for mostly is.
func plainName(name string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsLetter(c) || unicode.IsDigit(c) {
			return unicode.ToLower(c)
		}
		return -1
	}, name)
}

// partOf reports whether a name is ours but for its unit: mass_before of
// mass_before_g, which is two words at least, as one may mean anything.
func partOf(name, ours string) bool {
	plain := plainName(name)
	end := strings.LastIndexByte(ours, '_')
	return end > 0 && strings.Contains(ours[:end], "_") && plain == plainName(ours[:end])
}

// withUnit reports whether a name is ours with a unit behind it: reading_psi,
// "bond length (mm)".
func withUnit(plain, ours string) bool {
	unit, ok := strings.CutPrefix(plain, ours)
	return ok && slices.Contains([]string{"mm", "cm", "m", "in", "inch", "inches", "psi", "psig", "mpa", "bar", "n", "kn", "lbf", "lb", "lbs",
		"g", "kg", "min", "minutes", "pct", "percent", "utc"}, unit)
}

// slipped reports whether a name is ours but for a slip: one letter left out, put
// in, exchanged or turned round in a name of six, two in one of nine. In shorter
// ones a slip makes other words: "block" of "clock".
func slipped(plain, ours string) bool {
	return len(ours) >= 6 && labels.Distance(plain, ours) <= min(len(ours)/3-1, 2)
}
