package intake

import (
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Measure is a form: what was measured on specimens, in baths or in the room,
// the same on each.
type Measure struct {
	Subjects []string // specimens, baths, words that name several; or room alone
	Values   []string // NAME=VALUE, bond_length=40.1 mm; all must be good
}

func (f Measure) take(d *Desk, out *Outcome) (err error) {
	fact := d.event(tracker.Measured)
	if fact.Values, err = parseValues(d.rec.Study().Units, f.Values); err != nil {
		return err
	}
	if slices.ContainsFunc(f.Subjects, func(s string) bool { return strings.EqualFold(s, "room") }) {
		if len(f.Subjects) > 1 {
			return refuse("the room is measured by itself; nothing recorded")
		}
		return d.keep(out, fact)
	}
	subjects, err := d.subjects(out, f.Subjects)
	if err != nil {
		return err
	}
	var events []tracker.Event
	for _, sub := range each(subjects) {
		one := about(fact, sub)
		one.Bath = sub.Bath // it is the bath's own, not its specimens'
		events = append(events, one)
	}
	return d.keep(out, events...)
}

// A Gauged is a value that somebody with a phone is asked for: of a specimen, or of a
// bath; Unit is what a number alone is in.
type Gauged struct {
	Name, Unit string
	Bath       bool
}

// GaugedAt lists the values that are measured at a stage.
func GaugedAt(stage schedule.Stage, u quantity.System) (all []Gauged) {
	for _, name := range tracker.WorkOf(stage).Values {
		all = append(all, gauged(name, u))
	}
	return all
}

// GaugedOf lists what may be measured of a specimen by itself: of one that is soaked its
// masses.
func GaugedOf(rec *tracker.Record, life *tracker.Life) (all []Gauged) {
	if !isSoaked(rec, life) {
		return nil
	}
	for _, stage := range []schedule.Stage{schedule.Immersion, schedule.LiftOut} {
		all = append(all, GaugedAt(stage, rec.Study().Units)...)
	}
	return slices.DeleteFunc(all, func(g Gauged) bool { return g.Bath })
}

// GaugedOfBath is what is measured of a bath at any time: how warm it is.
func GaugedOfBath(u quantity.System) Gauged { return gauged("water", u) }

func gauged(name string, u quantity.System) Gauged {
	if name == "water" {
		return Gauged{name, u.Choose("C", "F"), true}
	}
	return Gauged{Name: name, Unit: u.Choose("g", "oz")}
}

func parseValues(u quantity.System, words []string) ([]tracker.Value, error) {
	var values []tracker.Value
	for _, word := range words {
		name, text, ok := strings.Cut(word, "=")
		if !ok {
			return nil, refuse("%q is not NAME=VALUE; for example bond_length=%q", word, u.Choose("40.1 mm", "1.58 in"))
		}
		v, err := parseValue(u, name, text)
		if err != nil {
			return nil, err
		}
		values = append(values, v)
	}
	return values, nil
}

// parseValue reads one measured value by the type its name stands for. The
// error is a *Refusal.
func parseValue(u quantity.System, name, text string) (tracker.Value, error) {
	v := tracker.Value{Name: strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), "-", "_"), Text: strings.TrimSpace(text)}
	var err error
	var size float64
	switch v.Name {
	case "bond_length", "bond_width":
		size, err = sizeOf(quantity.ParseLength(v.Text))
	case "mass_before", "mass_after":
		size, err = sizeOf(quantity.ParseMass(v.Text))
	case "moisture":
		_, err = quantity.ParseShare(v.Text)
		size = 1
	case "water", "room":
		_, err = quantity.ParseTemperature(v.Text)
		size = 1
	case "state":
		v.Text, err = ParseState(v.Text)
		size = 1
	default:
		return v, refuse("nothing is measured under the name %q; names are bond_length, bond_width, mass_before, mass_after, moisture, water, room, state", name)
	}
	if err != nil {
		return v, refuse("%s: %v", v.Name, u.Explain(err))
	}
	if !(size > 0) {
		return v, refuse("%s: %q is not more than nothing", v.Name, v.Text)
	}
	return v, nil
}

func sizeOf[T ~float64](q T, err error) (float64, error) { return float64(q), err }

// UntilAssigned cuts words before the first NAME=VALUE.
func UntilAssigned(words []string) (named, assigned []string) {
	i := slices.IndexFunc(words, func(w string) bool { return strings.Contains(w, "=") })
	if i < 0 {
		return words, nil
	}
	return words[:i], words[i:]
}
