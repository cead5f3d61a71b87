package tables

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// ReadSpecimens reads an existing set of specimens for a study, in the columns
// of SpecimenColumns. Codes are dealt in the order of the file.
//
// The error joins every *Problem; nothing is returned beside it. Warnings name
// what was not read or may be mistaken.
func ReadSpecimens(name string, r io.Reader, study *tracker.Study) (specimens []tracker.Specimen, warnings []string, err error) {
	s := readSheet(name, r, SpecimenColumns(len(study.Wood.Boards) > 0))
	d := dealer{study: study, seen: map[string]int{}}
	for _, row := range s.rows {
		specimens = append(specimens, d.specimen(row, len(specimens)))
	}
	if len(specimens) == 0 && len(s.problems) == 0 {
		s.problem(1, "no specimen under the header")
	}
	d.deal(s, specimens)
	if err := s.err(); err != nil {
		return nil, s.warnings, err
	}
	return specimens, s.warnings, nil
}

// A dealer makes specimens of rows.
type dealer struct {
	study *tracker.Study
	seen  map[string]int // line of each name
}

func (d dealer) deal(s *sheet, specimens []tracker.Specimen) {
	codes := labels.Deal(d.study.Prefix, len(specimens))
	if len(codes) < len(specimens) {
		s.problem(1, "prefix %q has codes for %d specimens, not for %d", d.study.Prefix, len(codes), len(specimens))
		return
	}
	for i := range specimens {
		specimens[i].Code = codes[i]
	}
}

func (d dealer) specimen(r row, before int) tracker.Specimen {
	s := tracker.Specimen{Name: r.get("name"), Order: before + 1, BondedBlock: r.get("bonded_block"),
		BondLength: parse(r, "bond_length", positiveLength), BondWidth: parse(r, "bond_width", positiveLength)}
	d.checkName(r, s.Name)
	s.Adhesive = r.oneOf("adhesive", d.adhesives())
	s.Treatment = r.oneOf("treatment", d.treatments())
	s.Board = r.get("board")
	if boards := d.boards(); len(boards) > 0 {
		s.Board = r.oneOf("board", boards)
	}
	s.Bath = d.bath(s)
	return s
}

func positiveLength(text string) (quantity.Length, error) {
	l, err := quantity.ParseLength(text)
	if err == nil && !(l > 0) {
		err = fmt.Errorf("%q is not above zero", text)
	}
	return l, err
}

// oneOf reads a key of the plan. Another case is not forgiven but pointed out:
// keys are for life.
func (r row) oneOf(column string, keys []string) string {
	text := r.get(column)
	if text != "" && !slices.Contains(keys, text) {
		r.problem("%s %q is not in the plan; it has %s", column, text, strings.Join(keys, ", "))
	}
	if _, there := r.sheet.columns[column]; there && text == "" {
		r.problem("%s is empty; the plan has %s", column, strings.Join(keys, ", "))
	}
	return text
}

// checkName refuses names that could be taken for something else: a code, a
// half, a card or the plain words of one, a bath, another specimen's name.
func (d dealer) checkName(r row, name string) {
	_, err := labels.Parse(name)
	var check *labels.CheckError
	key := strings.ToUpper(name)
	switch {
	case name == "":
		if _, there := r.sheet.columns["name"]; there {
			r.problem("name is empty")
		}
		return
	case err == nil, errors.As(err, &check) && strings.HasPrefix(key, d.study.Prefix):
		r.problem("name %q reads as a code: choose another mark", name)
	case strings.HasSuffix(name, "/1") || strings.HasSuffix(name, "/2"):
		r.problem("name %q ends like a half: choose another mark", name)
	case strings.HasPrefix(name, "."):
		r.problem("name %q begins like a stage card: choose another mark", name)
	case d.means(name) != "":
		r.problem("name %q reads as %s: choose another mark", name, d.means(name))
	case len(name) > 64:
		r.problem("name is longer than 64 bytes")
	}
	if line, twice := d.seen[key]; twice {
		r.problem("name %q stands already on line %d", name, line)
	}
	d.seen[key] = r.line
	if answers := beginsAnswer(name); answers != "" {
		r.sheet.warn(r.line, "name %q is also an answer at the press (%s): typed alone there it will mean the name; better choose another mark", name, answers)
	}
	if _, _, serial := labels.ParseSerial(name); serial {
		r.sheet.warn(r.line, "name %q is also a serial: typed alone it will mean the name", name)
	}
}

// means says what a name stands for already where codes are scanned and typed;
// empty when nothing. Typed alone it would never mean the specimen.
func (d dealer) means(name string) string {
	if card, ok := labels.ParseCard(name, d.stages()); ok {
		return fmt.Sprintf("the card %q", card.Title())
	}
	for _, a := range d.study.Adhesives {
		if a.Bath != "" && labels.SameName(a.Bath, name) {
			return fmt.Sprintf("bath %s", a.Bath)
		}
	}
	word := strings.ToLower(name)
	_, noReading := quantity.ParseReading(name)
	_, noEnding := tracker.HowNamed(name)
	switch {
	case word == "room":
		return "the room, which measure writes about"
	case word == "u":
		return "the answer that takes one back"
	case word == "rig" || word == "dummy":
		return fmt.Sprintf("the word %q at the press", word)
	case noReading == nil:
		return "a reading of the gauge"
	case noEnding == nil:
		return "how a try ended"
	}
	return ""
}

// beginsAnswer names the endings of a try that a name begins like; empty for none.
func beginsAnswer(name string) string {
	var like []string
	for _, how := range tracker.Endings() {
		if name != "" && strings.HasPrefix(tracker.PlainWord(string(how)), tracker.PlainWord(name)) {
			like = append(like, string(how))
		}
	}
	return strings.Join(like, ", ")
}

func (d dealer) stages() (names []string) {
	for _, s := range d.study.Stages() {
		names = append(names, string(s))
	}
	return names
}

func (d dealer) adhesives() (keys []string) {
	for _, a := range d.study.Adhesives {
		keys = append(keys, a.Key)
	}
	return keys
}

func (d dealer) treatments() (keys []string) {
	for _, t := range d.study.Treatments {
		keys = append(keys, t.Key)
	}
	return keys
}

func (d dealer) boards() (names []string) {
	for _, b := range d.study.Wood.Boards {
		names = append(names, b.Name)
	}
	return names
}

// bath is that of the adhesive, for a specimen that will be soaked.
func (d dealer) bath(s tracker.Specimen) string {
	soaked := slices.ContainsFunc(d.study.Treatments, func(t tracker.Treatment) bool { return t.Key == s.Treatment && t.Soaked })
	for _, a := range d.study.Adhesives {
		if soaked && a.Key == s.Adhesive {
			return a.Bath
		}
	}
	return ""
}
