package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// measureCommand records what was measured on a specimen, a bath or the room.
func (s *session) measureCommand() *cli.Command {
	return &cli.Command{
		Name:      "measure",
		Usage:     "record what was measured on a specimen, a bath or the room",
		ArgsUsage: "SUBJECT NAME=VALUE...",
		Description: "SUBJECT is a code, a name, a bath, or the word room.\n" +
			"NAME is bond_length, bond_width, mass_before, mass_after, moisture, water, room or state;\n" +
			"VALUE has a unit: bond_length=\"40.1 mm\" mass_before=\"61.3 g\" water=\"19.5 C\" moisture=\"9.6 %\".\n" +
			"The instrument goes into --note.",
		Flags:  entryFlags(),
		Action: func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.measure(c) }) },
	}
}

func (b *book) measure(c *cli.Context) error {
	if c.NArg() < 2 {
		return usageError("measure wants a subject and NAME=VALUE; for example soaktag measure HBR-017-J bond_length=\"40.1 mm\"")
	}
	values, err := parseValues(c.Args().Tail())
	if err != nil {
		return err
	}
	fact := b.entry.event(tracker.Measured)
	fact.Values = values
	if strings.EqualFold(c.Args().First(), "room") {
		return b.keep(fact)
	}
	subjects, err := b.subjects([]string{c.Args().First()})
	if err != nil {
		return err
	}
	fact.Code, fact.Half, fact.Bath = subjects[0].code, subjects[0].half, subjects[0].bath
	return b.keep(fact)
}

// parseValues reads NAME=VALUE words. All of them must be good.
func parseValues(words []string) ([]tracker.Value, error) {
	var values []tracker.Value
	for _, word := range words {
		name, text, ok := strings.Cut(word, "=")
		if !ok {
			return nil, usageError("%q is not NAME=VALUE; for example bond_length=\"40.1 mm\"", word)
		}
		v, err := parseValue(name, text)
		if err != nil {
			return nil, err
		}
		values = append(values, v)
	}
	return values, nil
}

// parseValue reads one measured value by the type its name stands for.
func parseValue(name, text string) (tracker.Value, error) {
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
		v.Text, err = parseState(v.Text)
		size = 1
	default:
		return v, usageError("nothing is measured under the name %q; names are bond_length, bond_width, mass_before, mass_after, moisture, water, room, state", name)
	}
	if err != nil {
		return v, refused(fmt.Errorf("%s: %w", v.Name, err))
	}
	if !(size > 0) {
		return v, usageError("%s: %q is not more than nothing", v.Name, v.Text)
	}
	return v, nil
}

func sizeOf[T ~float64](q T, err error) (float64, error) { return float64(q), err }

// parseState reads the state of a specimen at its break.
func parseState(text string) (string, error) {
	states := []string{"wet", "part-dried", "re-dried", "dry"}
	i := slices.IndexFunc(states, func(s string) bool { return tracker.PlainWord(s) == tracker.PlainWord(text) })
	if i < 0 {
		return "", usageError("%q is no state; states are %s", text, strings.Join(states, ", "))
	}
	return states[i], nil
}
