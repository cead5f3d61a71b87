package design

import (
	"fmt"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// bathNotes says what baths want that a plan seldom gives: ballast, and names.
// That two adhesives share a bath by name is package plan's to tell.
func bathNotes(s *tracker.Study) []Warning {
	baths := Baths(s)
	if len(baths) == 0 {
		return nil
	}
	return append(floats(s.Units, baths), unnamed(baths)...)
}

// floats says how much steel holds the wood of each bath down.
func floats(u quantity.System, baths []Bath) []Warning {
	const rule = "wood-floats"
	switch {
	case baths[0].Wood == 0:
		return []Warning{note(rule, "specimen.blank", "dry wood floats, and without the blank's size its ballast is not known", "give blank = "+u.Choose(`"48 mm x 45 mm x 20 mm"`, `"2 in x 1 3/4 in x 3/4 in"`)+" in [specimen], and it will be")}
	case baths[0].Density.Density == 0:
		return []Warning{note(rule, "wood.density", "dry wood floats, and without its density its ballast is not known", "weigh a blank and give density = "+u.Choose(`"680 kg/m3"`, `"42 lb/ft3"`)+" in [wood]")}
	case baths[0].Lift == 0:
		return nil
	}
	least, most := baths[0].Steel, baths[0].Steel
	for _, b := range baths {
		least, most = min(least, b.Steel), max(most, b.Steel)
	}
	text := fmt.Sprintf("dry wood floats: weigh it down with %s of steel in %s", steelRange(u, least, most), number(len(baths), "bath"))
	return []Warning{note(rule, "adhesive.bath", text, steelHint(u, baths, least < most))}
}

func steelRange(u quantity.System, least, most quantity.Mass) string {
	if u.Mass(least) == u.Mass(most) {
		return u.Mass(most)
	}
	return u.Mass(least) + " to " + u.Mass(most)
}

// steelHint lists the baths where they differ, and says what steel does.
func steelHint(u quantity.System, baths []Bath, differ bool) string {
	hint := "that is twice the lift; bare steel stains oak and ash, so wrap or paint it"
	if !differ {
		return hint
	}
	each := make([]string, len(baths))
	for i, b := range baths {
		name := b.Name
		if name == "" {
			name = "no name"
		}
		each[i] = name + " " + u.Mass(b.Steel)
	}
	return strings.Join(each, ", ") + "; " + hint
}

// number counts what each of some things gets: "the bath", "each of 6 baths".
func number(n int, noun string) string {
	if n == 1 {
		return "the " + noun
	}
	return fmt.Sprintf("each of %d %ss", n, noun)
}

// unnamed says that adhesives without a bath's name share one.
func unnamed(baths []Bath) []Warning {
	for _, b := range baths {
		if b.Name == "" && len(b.Adhesives) > 1 {
			text := fmt.Sprintf("no bath is named for %s: one tub is assumed, and they can spoil one another in it", few(b.Adhesives))
			return []Warning{note("bath-not-named", "adhesive.bath", text, `give each a bath of its own: bath = "B1"`)}
		}
	}
	return nil
}

// waterNotes says when to change the water of the longest soak, if more than
// once. What a published schedule wants is its own to say.
func waterNotes(s *tracker.Study) []Warning {
	var longest time.Duration
	for _, t := range s.Treatments {
		if t.Soaked && t.Protocol.Name == "" {
			longest = max(longest, soakOf(s, t))
		}
	}
	n := len(WaterChanges(longest))
	if n < 2 {
		return nil
	}
	text := fmt.Sprintf("a soak of %s d wants its water changed %d times", quantity.Figures(longest.Hours()/24, 3), n)
	return []Warning{note("water-changes", "interval.soak", text, "at the end of days 1 and 2, then every 36 h, the same for every bath; write it on the worksheet")}
}

// soakOf is how long the plan keeps a treatment under water at a time: its own
// soak, else the study's; zero without one.
func soakOf(s *tracker.Study, t tracker.Treatment) time.Duration {
	for _, own := range t.Intervals {
		if own.Name == "soak" {
			return own.Planned.Length
		}
	}
	for _, iv := range s.Intervals {
		if iv.Name == "soak" {
			return iv.Planned.Length
		}
	}
	return 0
}
