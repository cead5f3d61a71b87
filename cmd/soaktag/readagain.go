package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// rightGiven refuses --correct that does not say what is right, and why.
func rightGiven(c *cli.Context) error {
	if c.Bool("correct") && (!c.IsSet("stage") && !c.IsSet("at") || c.String("reason") == "") {
		return withHint(usageError("--correct wants what is right and a reason that stays on record; nothing recorded"),
			"soaktag read %s --stage STAGE --correct --reason \"why\"; or --at TIME for another time", shellWord(c.Args().First()))
	}
	return nil
}

// differs reports whether an entry says something else than what is right.
func (r *photoReading) differs(e tracker.Event) bool {
	sameTime := !e.DeviceTime && e.At.From.Equal(r.entry.At.From) && e.At.To.Equal(r.entry.At.To)
	return r.ordered != "" && e.Stage != r.ordered || r.timed && !sameTime
}

// noneStands reports whether all that was read in a photograph was set aside.
func (r *photoReading) noneStands(sh *shot) bool {
	return !slices.ContainsFunc(r.entriesOf(sh), func(e tracker.Event) bool {
		_, stands := r.rec.Stands(e.ID)
		return stands
	})
}

// countAgain sets aside what set aside all the entries of a photograph that is
// put right: they count again. Of one where some stand, whoever set the others
// aside meant just them. The ids follow from those of what is set aside, so that
// the same again is nothing new.
func (r *photoReading) countAgain(sh *shot) (again []tracker.Event) {
	if !r.correct || r.stage == schedule.Break || !r.noneStands(sh) {
		return nil
	}
	entries := r.entriesOf(sh)
	for _, v := range r.rec.Events() {
		mine := func(e tracker.Event) bool { return e.ID == v.Target }
		if v.Kind != tracker.Voided || r.rec.Voided(v.ID) || !slices.ContainsFunc(entries, mine) {
			continue
		}
		e := r.voidOf(sh, v)
		e.ID, e.Reason = tracker.PhotoEventID(sh.sum, "again "+v.ID, 0), r.entry.Reason
		again = append(again, e)
	}
	return again
}

func (r *photoReading) tellAgain(sh *shot, again []tracker.Event) {
	if len(again) > 0 {
		r.say("%s: recorded again, %s", sh.path, wording.Counted(len(again), "label", "labels"))
	}
}

// saidUndo reports whether this very card took something back before.
func (r *photoReading) saidUndo(sh *shot) bool {
	return slices.ContainsFunc(r.rec.Events(), func(e tracker.Event) bool {
		return e.Kind == tracker.Voided && e.ID == undoID(sh, e.Target)
	})
}

// passUndone goes past the photograph that a card took back before, so that
// another card means the one before that.
func (r *photoReading) passUndone(sh *shot) {
	if len(r.done) == 0 {
		return
	}
	last := r.done[len(r.done)-1]
	mine := func(e tracker.Event) bool { return r.undone(sh, e) }
	if !slices.ContainsFunc(last, mine) {
		r.say("%s: UNDO was read before, and takes nothing more back", sh.path)
		return
	}
	r.done = r.done[:len(r.done)-1]
	for _, e := range last {
		delete(r.aside, e.ID)
	}
	if slices.ContainsFunc(last, func(e tracker.Event) bool { return mine(e) && !r.rec.Voided(e.ID) }) {
		r.say("%s: UNDO took this back before; it was recorded again since, and stays", sh.path)
	}
}

// undone reports whether a card took an entry back before, or one that it
// replaces.
func (r *photoReading) undone(sh *shot, e tracker.Event) bool {
	for range len(r.rec.Events()) { // as long a chain of corrections as there can be
		if _, known := r.rec.Event(undoID(sh, e.ID)); known {
			return true
		}
		if e.Target == "" {
			return false
		}
		e, _ = r.rec.Event(e.Target)
	}
	return false
}

// noteWayBack remembers a photograph with a stage in force that changes nothing
// of what was read in it before.
func (r *photoReading) noteWayBack(sh *shot, verdicts []tracker.Verdict) {
	staged := eventsIn(slices.DeleteFunc(slices.Clone(verdicts), func(v tracker.Verdict) bool {
		return v.Event.Kind != tracker.Staged || isTrialEvent(v.Event)
	}))
	switch {
	case r.stage == "" || len(staged) == 0:
	case !slices.ContainsFunc(staged, func(e tracker.Event) bool { return !r.rec.Voided(e.ID) }):
		r.aside[staged[0].ID] = sh.path
	case r.ordered == r.stage && slices.ContainsFunc(staged, r.otherStage):
		r.others = append(r.others, sh.path)
	}
}

// sayWayBack says at the end how photographs that were read before are put
// right. One that a card of this run took back needs no word.
func (r *photoReading) sayWayBack() {
	if len(r.others) > 0 {
		r.hint("all labels of a photograph at once: %s", r.correctCommand(r.others))
	}
	if len(r.aside) == 0 {
		return
	}
	r.attention = true
	paths := slices.Sorted(maps.Values(r.aside))
	r.warn("%s: all that was read in it was set aside, and stays so", strings.Join(paths, ", "))
	r.hint("to record it again: %s", r.correctCommand(paths))
}

// correctCommand is what to type to put photographs right: named one by one, or
// as they were named.
func (r *photoReading) correctCommand(paths []string) string {
	if len(paths) > fewPhotos {
		paths = r.words
	}
	words := []string{}
	for _, path := range paths {
		words = append(words, shellWord(path))
	}
	stage := "STAGE"
	if r.ordered != "" {
		stage = shellWord(string(r.ordered))
	}
	return fmt.Sprintf("soaktag read %s --stage %s --correct --reason \"why\"", strings.Join(words, " "), stage)
}
