package design

import (
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/quantity"
)

// A Level says how much of a person something foreseen asks.
type Level string

// The levels of Foresee. Errors are package plan's.
const (
	Warns Level = "warning" // something will go wrong, or the question will not be answered
	Hints Level = "hint"    // to know beforehand; a sound plan has some
)

// A Foreseen is something in a plan that will go wrong or cannot answer what is
// asked of it: facts, which package wording says in a line. Rule names its sort
// and is stable; Key is the place in the plan's own words; What has the numbers,
// in a type of its own for each sort, below and in calendar.go.
type Foreseen struct {
	Rule, Key string
	Level     Level
	What      any
}

// What is foreseen of boards and clamps. Names are the plan's, of any length.
type (
	// A ShortBoard gives fewer blanks than are wanted of it.
	ShortBoard struct{ Cut Cut }

	// FewClamps do not hold all bonds at once: they are glued in several sittings.
	FewClamps struct {
		Clamps, Bonds int
		Sittings      []Sitting
	}

	// A ThickSolid specimen is one piece, thicker than some boards.
	ThickSolid struct {
		Adhesive string
		Thick    quantity.Length
		Boards   []string
	}

	// An Ageless treatment is not soaked, and nothing says when it is broken. Where one
	// is soaked it can be broken at the age of that.
	Ageless struct {
		Treatment string
		Partner   bool
	}
)

// warning makes a Foreseen of level Warns, and note one of level Hints.
func warning(rule, key string, what any) Foreseen { return Foreseen{rule, key, Warns, what} }
func note(rule, key string, what any) Foreseen    { return Foreseen{rule, key, Hints, what} }

// Foresee returns all that follows from the numbers of a plan alone: first what
// can hurt somebody, then what spoils the study, then what blurs it, hints
// last. What the plan file says wrongly is package plan's to tell, and what a
// calendar shows is that of LayOut.
func Foresee(s *tracker.Study, c Calendar) []Foreseen {
	return slices.Concat(
		ofRigs(s, tooWeak, unknownLimits, pastTheEnd),
		shortBoards(s), fewClamps(s, c.Sittings), weakClamps(s), oldSurface(c.Sittings), PotLife(s, c.Sittings), TooLittle(s, c.Sittings),
		ofRigs(s, tooHigh, tooLow),
		tied(s, c.Sittings), unforeseen(s), thinBoards(s), bathNotes(s), waterNotes(s), ageless(s),
	)
}

func shortBoards(s *tracker.Study) []Foreseen {
	var w []Foreseen
	for _, c := range CutList(s) {
		if !c.Enough() {
			w = append(w, warning("board-too-small", "wood.boards", ShortBoard{c}))
		}
	}
	return w
}

// fewClamps counts the bonds against the clamps.
func fewClamps(s *tracker.Study, sittings []Sitting) []Foreseen {
	bonds := bondsIn(sittings)
	if s.Specimen.Clamps == 0 || bonds <= s.Specimen.Clamps {
		return nil
	}
	return []Foreseen{warning("few-clamps", "specimen.clamps", FewClamps{s.Specimen.Clamps, bonds, sittings})}
}

// thinBoards says of which boards no solid specimen can be cut: it is one piece
// as thick as two blanks.
func thinBoards(s *tracker.Study) []Foreseen {
	solid := slices.IndexFunc(s.Adhesives, func(a tracker.Adhesive) bool { return a.SolidWood })
	thick := 2 * s.Specimen.Blank.Thickness
	var thin []string
	for _, b := range s.Wood.Boards {
		if b.Size.Thickness > 0 && b.Size.Thickness < thick {
			thin = append(thin, b.Name)
		}
	}
	if solid < 0 || len(thin) == 0 {
		return nil
	}
	key := s.Adhesives[solid].Key
	return []Foreseen{note("solid-too-thick", "adhesive."+key+".solid_wood", ThickSolid{key, thick, thin})}
}

// ageless says of which treatments nobody is told when to break them: no interval leads
// there, as those of a bath do of what is soaked.
func ageless(s *tracker.Study) (all []Foreseen) {
	for _, t := range s.Treatments {
		if !t.Soaked && slices.ContainsFunc(s.Adhesives, func(a tracker.Adhesive) bool { return !a.SolidWood && !leadsToBreak(s, a, t) }) {
			all = append(all, note("never-due", "treatment."+t.Key, Ageless{t.Key, s.Followed() != nil}))
		}
	}
	return all
}

func leadsToBreak(s *tracker.Study, a tracker.Adhesive, t tracker.Treatment) bool {
	list := s.IntervalsOf(tracker.Specimen{Adhesive: a.Key, Treatment: t.Key})
	return slices.ContainsFunc(list, func(iv schedule.Interval) bool { return iv.To == schedule.Break })
}
