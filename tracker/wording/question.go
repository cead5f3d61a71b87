package wording

import (
	"cmp"
	"fmt"
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
		return q.Subject + ": which rig (" + strings.Join(keyed(q.Names), ", ") + ")?"
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
	return fmt.Sprintf("%s: ended (%s)?", cmp.Or(q.Reading, q.Subject+", no reading"), strings.Join(ways, ", "))
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
		return []Sentence{warn("%s is more than the gauge of %s can show; it is recorded all the same, u takes it back", n.Reading, n.Rig).here()}
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
	return []Sentence{tell("%s", care), tell("%s", keys)}
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
