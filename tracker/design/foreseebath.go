package design

import (
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// What is foreseen of baths.
type (
	// Floats are the baths whose wood floats, each with its ballast; the wood is
	// without volume or density where the plan does not say enough to know that.
	Floats struct{ Baths []Bath }

	// An OpenTub is a bath without a name that several adhesives share.
	OpenTub struct{ Adhesives []string }

	// A LongSoak wants its water changed so often; Every is the plan's own word
	// on how long water stays, zero where it has none.
	LongSoak struct {
		Soak    time.Duration
		Changes int
		Every   time.Duration
	}
)

// bathNotes says what baths want that a plan seldom gives: ballast, and names.
// That two adhesives share a bath by name is package plan's to tell.
func bathNotes(s *tracker.Study) []Foreseen {
	baths := Baths(s)
	if len(baths) == 0 {
		return nil
	}
	return append(floats(baths), unnamed(baths)...)
}

// floats says where wood floats, or that it cannot be told by how much.
func floats(baths []Bath) []Foreseen {
	key := "adhesive.bath"
	switch {
	case baths[0].Wood == 0:
		key = "specimen.blank"
	case baths[0].Density.Density == 0:
		key = "wood.density"
	case baths[0].Lift == 0:
		return nil
	}
	return []Foreseen{note("wood-floats", key, Floats{baths})}
}

// unnamed says that adhesives without a bath's name share one.
func unnamed(baths []Bath) []Foreseen {
	for _, b := range baths {
		if b.Name == "" && len(b.Adhesives) > 1 {
			return []Foreseen{note("bath-not-named", "adhesive.bath", OpenTub{b.Adhesives})}
		}
	}
	return nil
}

// waterNotes says when to change the water of the longest soak, if more than
// once and the plan does not say it.
func waterNotes(s *tracker.Study) []Foreseen {
	if long := LongestSoak(s); long.Changes >= 2 && long.Every == 0 {
		return []Foreseen{note("water-changes", "interval.soak", long)}
	}
	return nil
}

// LongestSoak is the longest that the plan keeps anything under water at a time,
// and how often that wants fresh water. What a published schedule wants is its
// own to say; zero without another soak.
func LongestSoak(s *tracker.Study) (long LongSoak) {
	for _, t := range s.Treatments {
		if soak := soakOf(s, t); t.Soaked && t.Protocol.Name == "" && soak > long.Soak {
			long = LongSoak{soak, len(WaterChanges(soak)), t.WaterChange.Length}
		}
	}
	if long.Every > 0 {
		long.Changes = int((long.Soak - 1) / long.Every) // not at the lift-out
	}
	return long
}

// soakOf is how long the plan keeps a treatment under water at a time: its own
// soak, else the study's; zero without one.
func soakOf(s *tracker.Study, t tracker.Treatment) time.Duration {
	for _, own := range t.Intervals {
		if own.Name == schedule.Soak {
			return own.Planned.Length
		}
	}
	for _, iv := range s.Intervals {
		if iv.Name == schedule.Soak {
			return iv.Planned.Length
		}
	}
	return 0
}
