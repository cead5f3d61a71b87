package design

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/tracker"
)

// A Level says how much a warning asks of a person.
type Level string

// The levels of Foresee. Errors are package plan's.
const (
	Warns Level = "warning" // something will go wrong, or the question will not be answered
	Hints Level = "hint"    // to know beforehand; a sound plan has some
)

// A Warning is something in a plan that will go wrong or cannot answer what is
// asked of it. Rule names its sort and is stable, Key is the place in the plan's
// own words, Text is one line under 100 characters, Hint what to do about it.
type Warning struct {
	Rule, Key, Text, Hint string
	Level                 Level
}

// mostText is the longest Text, in characters.
const mostText = 99

// warning makes a Warning of level Warns. Names in a plan can have any length;
// a text is cut off before it fills more than a line.
func warning(rule, key, text, hint string) Warning {
	return Warning{rule, key, shorten(text, mostText), hint, Warns}
}

// note makes one of level Hints.
func note(rule, key, text, hint string) Warning {
	return Warning{rule, key, shorten(text, mostText), hint, Hints}
}

// shorten cuts a text off after n characters.
func shorten(text string, n int) string {
	runes := []rune(text)
	if len(runes) <= n {
		return text
	}
	return string(runes[:n-3]) + "..."
}

// few lists up to two names, and of more the first and their number.
func few(names []string) string {
	if len(names) <= 2 {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", names[0], len(names)-1)
}

// Foresee returns all that follows from the numbers of a plan alone: first what
// can hurt somebody, then what spoils the study, then what blurs it, hints
// last. What the plan file says wrongly is package plan's to tell.
func Foresee(s *tracker.Study) []Warning {
	return slices.Concat(
		rigWarnings(s, tooWeak, unknownLimits, pastTheEnd),
		shortBoards(s), fewClamps(s), weakClamps(s), PotLife(s), TooLittle(s),
		rigWarnings(s, tooHigh, tooLow),
		unforeseen(s), thinBoards(s), bathNotes(s), waterNotes(s),
	)
}

func shortBoards(s *tracker.Study) []Warning {
	var w []Warning
	for _, c := range CutList(s) {
		if !c.Enough() {
			text := fmt.Sprintf("board %s gives %d blanks, %d are wanted", shorten(c.Board, 40), c.Fits, c.Blanks)
			w = append(w, warning("board-too-small", "wood.boards", text, "take a longer or wider board, or fewer replicates"))
		}
	}
	return w
}

// fewClamps counts the bonds against the clamps: all are glued in one session
// unless the person arranges otherwise.
func fewClamps(s *tracker.Study) []Warning {
	bonds := 0
	for _, m := range AdhesiveMasses(s) {
		bonds += m.Bonds
	}
	if s.Specimen.Clamps == 0 || bonds <= s.Specimen.Clamps {
		return nil
	}
	text := fmt.Sprintf("%d clamps hold %d of %d bonds", s.Specimen.Clamps, s.Specimen.Clamps, bonds)
	return []Warning{warning("few-clamps", "specimen.clamps", text, fmt.Sprintf("plan %d glue-ups", Sittings(bonds, s.Specimen.Clamps)))}
}

// thinBoards says of which boards no solid specimen can be cut: it is one piece
// as thick as two blanks.
func thinBoards(s *tracker.Study) []Warning {
	solid := slices.IndexFunc(s.Adhesives, func(a tracker.Adhesive) bool { return a.SolidWood })
	thick := 2 * s.Specimen.Blank.Thickness
	var thin []string
	for _, b := range s.Wood.Boards {
		if b.Size.Thickness > 0 && b.Size.Thickness < thick {
			thin = append(thin, shorten(b.Name, 16))
		}
	}
	if solid < 0 || len(thin) == 0 {
		return nil
	}
	key := s.Adhesives[solid].Key
	text := fmt.Sprintf("%s is one piece of %s: thicker than the boards (%s)", key, s.Units.Length(thick), few(thin))
	return []Warning{note("solid-too-thick", "adhesive."+key+".solid_wood", text, "cut it from thicker stock of the same wood, or give a blank that is half of what the boards allow")}
}
