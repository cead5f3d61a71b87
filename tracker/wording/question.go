package wording

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// Question words what a desk waits for, with what was understood last before it
// and what Enter stands for.
func Question(q intake.Question, zone *time.Location) string {
	switch q := q.(type) {
	case intake.WhichSpecimen:
		return whichSpecimen(q, zone)
	case intake.WhichHalfNext:
		return "no half waits to be read; q ends, or scan one to read it again?"
	case intake.WhichRig:
		return q.Subject + ": which rig (" + strings.Join(append(keyed(q.Names), enterTakes(q.Last)...), ", ") + ")?"
	case intake.WhatReading:
		return whatReading(q)
	case intake.HowEnded:
		return howEnded(q)
	case intake.WoodFailed:
		return woodFailed(q)
	case intake.WhichMode:
		return fmt.Sprintf("wood failure %g %%%s: mode (%s, Enter for none)?", q.Percent, shallowly(q.Shallow), modeKeys())
	}
	return "?"
}

func whichSpecimen(q intake.WhichSpecimen, zone *time.Location) string {
	if q.Next == "" {
		return "nothing waits to be broken; q ends, or scan one?"
	}
	text := fmt.Sprintf("%d to break, next %s", q.Left, q.Next)
	if q.Board != "" {
		text += ", board " + q.Board
	}
	if !q.NotBefore.IsZero() {
		text += ", not before " + Time(q.NotBefore, zone)
	}
	if q.Before != nil {
		text += " (loaded before: " + Try(q.Before) + ")"
	}
	return text + " (Enter, or scan another)?"
}

func whatReading(q intake.WhatReading) string {
	text := q.Subject
	if q.Rig != "" {
		text += " on " + q.Rig
	}
	if q.Unit == "" {
		return text + ": reading with its unit (Enter for none)?"
	}
	return text + ": reading in " + q.Unit + " (Enter for none)?"
}

// howEnded lists the ways that go with the reading, each with its key.
func howEnded(q intake.HowEnded) string {
	var ways []string
	for i, how := range tracker.Endings() {
		key := fmt.Sprintf("%d ", i+1)
		if q.InWords {
			key = ""
		}
		switch {
		case q.Reading != "" && i == 0:
			ways = append(ways, "Enter "+string(how))
		case q.Reading != "" && how.Loads(), q.Reading == "" && !how.NeedsReading():
			ways = append(ways, key+string(how))
		}
	}
	if q.Reading == "" {
		return fmt.Sprintf("%s, no reading: ended (%s), or the reading after all?", q.Subject, strings.Join(ways, ", "))
	}
	return fmt.Sprintf("%s: ended (%s)?", q.Reading, strings.Join(ways, ", "))
}

func woodFailed(q intake.WoodFailed) string {
	switch {
	case q.How != "":
		return string(q.How) + ": wood failure in % (Enter reads the faces later)?"
	case q.Left > 0:
		return fmt.Sprintf("%d to read, %s: wood failure in %% (Enter for another)?", q.Left, q.Subject)
	}
	return q.Subject + ": wood failure in %?"
}

func shallowly(shallow bool) string {
	if shallow {
		return ", shallow"
	}
	return ""
}

// modeKeys lists the failure modes, each with its key.
func modeKeys() string {
	var keys []string
	for _, m := range tracker.Modes() {
		keys = append(keys, strings.TrimSpace(m.Key()+" "+cmp.Or(m.Where, m.Name)))
	}
	return strings.Join(keys, ", ")
}

// enterTakes says what Enter stands for; nothing where it stands for nothing.
func enterTakes(name string) []string {
	if name == "" {
		return nil
	}
	return []string{"Enter " + name}
}

// keyed numbers names for a key each.
func keyed(names []string) (all []string) {
	for i, name := range names {
		all = append(all, fmt.Sprintf("%d %s", i+1, name))
	}
	return all
}

// sat words what a desk says at a sitting beside its questions; nothing for what a
// question shows.
func sat(n intake.Note) []Sentence {
	switch n := n.(type) {
	case intake.SatDown:
		return satDown(n)
	case intake.NotTaken:
		out := []Sentence{warn("%s", strings.TrimSuffix(n.Why, "; nothing recorded")).here()}
		if help := Help(n.Help); help != "" {
			out = append(out, advise(help))
		}
		return out
	case intake.Unsaid:
		return []Sentence{tell("taken back of %s: %s", n.Subject, cmp.Or(n.Answer, "no answer"))}
	case intake.PutBack:
		return []Sentence{tell("%s put back, nothing recorded of it", n.Subject)}
	case intake.TakenAsSeparated:
		return []Sentence{warn("%s, %s: nobody said how it ended, taken as separated", n.Subject, n.Reading).here()}
	case intake.BeyondDial:
		return []Sentence{warn("%s is more than the gauge of %s can show; it is recorded all the same, u takes it back; if the gauge stood at its end and the bond held, it ended by press limit", n.Reading, n.Rig).here()}
	case intake.Stood:
		return []Sentence{tell("%s", stood(n))}
	}
	return nil
}

func satDown(n intake.SatDown) []Sentence {
	care := "the press: guard up, eyes and ears protected, hands off a loaded bond; local rules come first"
	keys := "u takes back (or the UNDO card), rig changes the rig, WHO NAME says who works, dummy breaks one, q ends"
	if n.Faces {
		care = "fracture faces: gloves and eyes protected against splinters; read them dry, and blind; local rules come first"
		keys = "scan a label for that half, u takes back (or the UNDO card), 35 shallow: a few fibres only, q ends"
	}
	out := []Sentence{tell("%s", care), tell("%s", keys)}
	if !n.Faces {
		out = append(out, tell("%s", limits))
	}
	return out
}

// limits tells the two ends of a try apart that are taken for each other.
const limits = "press limit: gauge or press at its end and the bond held, at least that reading; bottomed out: the ram ran out of stroke, no reading"

// wayOut words what can be said instead of an answer that was not taken.
func wayOut(h intake.Help) string {
	switch h := h.(type) {
	case intake.GoBack:
		if h.Reading {
			return "type the reading, or Enter for none; " + leave(h.InWords)
		}
		return leave(h.InWords)
	case intake.GiveReading:
		with := " with its unit"
		if h.Unit != "" {
			with = ", a bare number is in " + h.Unit
		}
		return "if the gauge showed something, type that" + with + "; " + leave(h.InWords)
	case intake.WithoutReading:
		return withoutReading(h)
	case intake.WhichIsMeant:
		return fmt.Sprintf("Enter takes %s up again, then the answer; the whole code %s takes that one up; q ends", h.Again, h.Serial)
	}
	return ""
}

// leave names the ways to go back, and out.
func leave(inWords bool) string {
	if inWords {
		return "u takes the last answer back"
	}
	return "u takes the last answer back, q ends"
}

// withoutReading says what fits a reading, and how the way without one is said.
func withoutReading(h intake.WithoutReading) string {
	held := fmt.Sprintf("the gauge or the press at its end, and the bond held: %s, at least %s", keyOf(tracker.PressLimit, h.InWords), h.Reading)
	none := fmt.Sprintf("%s: u takes the reading back, Enter for none, then %s", meaning(h.How), keyOf(h.How, h.InWords))
	if h.How != tracker.BottomedOut {
		return none
	}
	return held + "; " + none
}

// meaning says in a few words what a way without a reading means.
func meaning(how tracker.How) string {
	switch how {
	case tracker.BottomedOut:
		return "the ram out of stroke"
	case tracker.FellApart:
		return "the bond apart before any load"
	}
	return string(how)
}

// keyOf names an ending with its key.
func keyOf(how tracker.How, inWords bool) string {
	if inWords {
		return string(how)
	}
	return fmt.Sprintf("%d %s", 1+slices.Index(tracker.Endings(), how), how)
}

func stood(n intake.Stood) string {
	text := fmt.Sprintf("%d broken", n.Done)
	if n.Faces {
		text = Counted(n.Done, "half", "halves") + " read"
	}
	if n.Whole > 0 {
		text += ", " + Counted(n.Whole, "try", "tries") + " that left a bond whole"
	}
	text += fmt.Sprintf("; %d to go", n.Left)
	if n.Open > 0 {
		text += fmt.Sprintf("; %d ask: soaktag status lists them, soaktag accept CODE --reason \"why\" accepts", n.Open)
	}
	return text
}
