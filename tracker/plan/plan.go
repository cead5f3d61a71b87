// Package plan reads a study's plan file (TOML) into a tracker.Study.
//
// A plan is written by a person, in the person's own units, and usually has
// more than one mistake in it. So reading never stops at the first: syntax
// apart, every problem is found in one pass and reported in file order with
// its line and column, a rule's name, and what to write instead.
//
// The tables of a plan file, all but the first three and the adhesives
// optional in part:
//
//	[study]        title, prefix, zone, first_glue_up, seed
//	[specimen]     bond, measured_within, caliper, blank, spread, pressure, clamps, clamp_force, time_per_bond, time_per_break
//	[interval]     "surface age", clamp, cure, soak, "wet hold", age, and own ones
//	[adhesive.KEY] name, bath, spread, pressure, mix, pot_life, open_time, closed_time, cures_in_water, solid_wood, replicates, [interval]
//	[treatment.KEY] control, replicates, water, water_change, state, age, expected, protocol, [interval]
//	[wood]         species, shear, density, kerf, spare, boards
//	[[rig]]        name, load, ram_area or ram_bore, gauge, parts, stroke_volume, give, rate
//	[rule]         wood_limited_at, blind, fit_scale, count_probable
//	[shop]         hours, away, scale, people
package plan

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"soaktag/tracker"
)

// The levels of a Problem. Only an Error refuses the plan.
const (
	Error   = "error"
	Warning = "warning"
	Hint    = "hint"
)

// A Problem is one thing about a plan that a person should know. Line and
// Column count from 1, columns in characters. Key is the place in the plan's
// own words, "adhesive.EPX.interval.clamp". Rule names the sort of problem and
// is stable; Text says what is wrong, Hint what to write instead, and More what
// else there is to say of that.
type Problem struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Key    string `json:"key"`
	Level  string `json:"level"`
	Rule   string `json:"rule"`
	Text   string `json:"text"`
	Hint   string `json:"hint,omitempty"`
	More   string `json:"-"`
}

// Advice is the hint with all there is to say of it.
func (p Problem) Advice() string {
	if p.More == "" {
		return p.Hint
	}
	return p.Hint + "; " + p.More
}

// Error puts the place before the text and the hint behind it.
func (p Problem) Error() string {
	text := fmt.Sprintf("%s:%d:%d: %s", p.File, p.Line, p.Column, p.Text)
	if p.Hint != "" {
		text += "; " + p.Advice()
	}
	return text
}

// Read turns the text of a plan file into the Study it means. It is the
// tracker.PlanReader of the program. The error joins every Problem of level
// Error, each of which errors.As finds.
func Read(text []byte) (tracker.Study, error) {
	study, problems := Check("plan", text)
	var errs []error
	for _, p := range problems {
		if p.Level == Error {
			errs = append(errs, p)
		}
	}
	if len(errs) > 0 {
		return tracker.Study{}, errors.Join(errs...)
	}
	return study, nil
}

// Check reads a plan and reports everything that is wrong, doubtful or assumed
// about it, in file order. Name is the file's name for the problems. The Study
// is whole only where no Problem is an Error.
func Check(name string, text []byte) (tracker.Study, []Problem) {
	r := &reader{file: name, asked: map[string][]string{}, ordered: map[string][]string{}}
	study := tracker.Study{Text: slices.Clone(text)}
	if values, ok := r.parse(text); ok {
		r.readStudy(r.root(values), &study)
	}
	slices.SortStableFunc(r.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return study, r.problems
}

// readStudy reads the tables in an order in which each can look at those it
// leans on; the order in the file is the writer's own.
func (r *reader) readStudy(root table, s *tracker.Study) {
	r.units = unitsOfBond(root)
	s.Units = r.units
	readHead(root.need("study", "add a table [study] with title, prefix and zone"), s)
	readWood(root.sub("wood"), s)
	readSpecimen(root.need("specimen", "add a table [specimen] with bond = "+r.units.Choose(`"40 mm x 45 mm"`, `"1 1/2 in x 1 3/4 in"`)), s)
	s.Intervals = readIntervals(root.sub("interval"), nil)
	readAdhesives(root.need("adhesive", "add a table [adhesive.KEY] for each"), s)
	readTreatments(root.need("treatment", "add [treatment.dry] with control = true, and [treatment.soaked]"), s)
	readRigs(root, s)
	readRule(root.sub("rule"), s)
	readShop(root.sub("shop"), s)
	r.unknownKeys(root)
	crossCheck(root, s)
}
