package intake

import (
	"slices"
	"strings"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// What single answers mean, for forms and for whoever puts the questions one by
// one. Every error is a *Refusal.

// ParseEnded reads how a try ended: in full, or so much of it that only one
// ending begins so. Results call fixture gave way a fixture failure.
func ParseEnded(text string) (tracker.How, error) {
	if strings.TrimSpace(text) == "" {
		return "", refuse("how did it end? nothing recorded").because(Missing{"break", "ended", string(tracker.Separated)})
	}
	how, err := tracker.ParseHow(text)
	if err != nil {
		return "", refuse("%v; nothing recorded", err)
	}
	return how, nil
}

// ParseReading reads what the gauge showed at a try that ended so, and returns
// it as typed: none where there was nothing to read, and perhaps none where a
// grip slipped. An example of what to write is in the units of u.
func ParseReading(u quantity.System, how tracker.How, text string) (string, error) {
	text = strings.TrimSpace(text)
	var given *quantity.Reading
	if text != "" && how.Loads() {
		read, err := quantity.ParseReading(text)
		if err != nil {
			return "", refuse("reading: %v; nothing recorded", u.Explain(err))
		}
		given = &read
	} else if text != "" {
		given = &quantity.Reading{}
	}
	switch how.Fit(given) {
	case tracker.NothingToRead:
		return "", refuse("%s gives no reading; nothing recorded", how).because(NothingToRead{how})
	case tracker.ReadingMissing:
		return "", refuse("%s wants the reading of the gauge; nothing recorded", how).because(Missing{"break", "reading", "1310 psi"})
	case tracker.NoLoad:
		return "", refuse("a reading of %s is no load; nothing recorded", given).with(CameApart{})
	}
	return text, nil
}

// triedOn is the rig of a try that ended so: the one named, else the plan's
// only one. A bond that fell apart met none.
func (d *Desk) triedOn(how tracker.How, named string) (string, error) {
	rigs := d.rec.Study().Rigs
	switch {
	case strings.TrimSpace(named) != "":
		return d.ParseRig(named)
	case d.AsksRig(how):
		return "", refuse("which rig? the plan has %s; nothing recorded", RigNames(rigs))
	case how == tracker.FellApart || len(rigs) == 0:
		return "", nil
	}
	return rigs[0].Name, nil
}

// AsksRig reports whether a try that ended so wants its rig named.
func (d *Desk) AsksRig(how tracker.How) bool {
	return how != tracker.FellApart && len(d.rec.Study().Rigs) > 1
}

// ParseRig finds a rig of the plan by its name. One that the plan does not know
// is most likely mistyped, and taken only where the entry says that it is meant.
func (d *Desk) ParseRig(named string) (string, error) {
	named = strings.TrimSpace(named)
	if rig := d.rec.Study().Rig(named); rig != nil {
		return rig.Name, nil
	}
	if d.Yes {
		return named, nil
	}
	names := RigNames(d.rec.Study().Rigs)
	if names == "" {
		names = "none"
	}
	return "", refuse("the plan has no rig %q; it has: %s; nothing recorded", named, names).with(NameARig{})
}

// RigNames lists rigs with commas between.
func RigNames(rigs []tracker.Rig) string { return strings.Join(rigNames(rigs), ", ") }

func rigNames(rigs []tracker.Rig) (names []string) {
	for _, r := range rigs {
		names = append(names, r.Name)
	}
	return names
}

// ParsePercent reads a wood failure, "80" or "80 %", from 0 to 100.
func ParsePercent(text string) (float64, error) {
	if !strings.HasSuffix(strings.TrimSpace(text), "%") {
		text += " %"
	}
	share, err := quantity.ParseShare(text)
	if err != nil {
		return 0, refuse("wood failure: %v", err)
	}
	percent := share.Percent()
	if percent < 0 || percent > 100 {
		return 0, refuse("wood failure %s is not between 0 and 100 %%", text)
	}
	return percent, nil
}

// ParseState reads the state of a specimen at its break.
func ParseState(text string) (string, error) {
	states := []string{"wet", "part-dried", "re-dried", "dry"}
	i := slices.IndexFunc(states, func(s string) bool { return tracker.PlainWord(s) == tracker.PlainWord(text) })
	if i < 0 {
		return "", refuse("%q is no state; states are %s", text, strings.Join(states, ", "))
	}
	return states[i], nil
}

// ParseHalf refuses a subject without its half: faces are read half by half.
func ParseHalf(sub Subject) error {
	if sub.Half == 0 {
		return refuse("which half of %s? nothing recorded", sub.Code).because(WhichHalf{sub.Code})
	}
	return nil
}
