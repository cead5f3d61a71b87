package main

import (
	"fmt"
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// restaged lists corrections of the entries of a photograph read before: of
// those that still have no stage, which get the one in force, and of all that
// are to be put right. What was set aside is left alone; so is a trial label,
// whose reading is complete without a stage.
func (r *photoReading) restaged(sh *shot) (given []tracker.Event) {
	if r.stage == "" && !r.correct || r.stage == schedule.Break {
		return nil
	}
	for _, e := range r.entriesOf(sh) {
		now, stands := r.rec.Stands(e.ID)
		if !stands && r.correct && r.noneStands(sh) {
			now, stands = e, true
		}
		if stands && now.Kind == tracker.Staged && !isTrialEvent(now) && (r.wantsStage(now) || r.correct && r.differs(now)) {
			given = append(given, r.putRight(sh, now))
		}
	}
	return given
}

// wantsStage reports whether an entry still asks for a stage and there is one:
// somebody may have said why it stands without.
func (r *photoReading) wantsStage(e tracker.Event) bool {
	asks := func(m tracker.Mark) bool { return m.Rule == tracker.RuleNoStage && m.Open() }
	return e.Stage == "" && r.stage != "" && slices.ContainsFunc(r.rec.Verdict(e).Marks, asks)
}

// entriesOf lists what was recorded from a photograph, as it was then.
func (r *photoReading) entriesOf(sh *shot) (all []tracker.Event) {
	if _, kept := r.rec.Event(tracker.PhotoEventID(sh.sum, "", 0)); !kept {
		return nil
	}
	for _, e := range r.rec.Events() {
		if e.Kind == tracker.Staged && e.ID == tracker.PhotoEventID(sh.sum, e.Code, e.Half) {
			all = append(all, e)
		}
	}
	return all
}

// bathAgain are the entries that a bath's tag made when its photograph was first
// read. It is not asked again whom it holds: since then that has changed. A tag
// that made none then is said, unless all that it holds show themselves.
func (r *photoReading) bathAgain(sh *shot, s sighting, then []tracker.Event) []tracker.Event {
	bath := s.sub.bath
	of := slices.DeleteFunc(slices.Clone(then), func(e tracker.Event) bool { return e.Bath != bath })
	held, err := r.spread(r.factOf(sh, s), []subject{s.sub})
	shown := func(e tracker.Event) bool {
		return slices.ContainsFunc(then, func(x tracker.Event) bool { return x.Code == e.Code })
	}
	if len(of) == 0 && (err != nil || !slices.ContainsFunc(held, shown)) {
		r.refuse(sh, &notRead{"the tag of bath " + bath + " stood for nobody when this was first read, and is not asked again",
			fmt.Sprintf("soaktag log \"bath %s\" --stage STAGE --at TIME records whom it holds", bath)})
	}
	return of
}

// putRight is an entry with the stage in force, and with the time that is right
// where one was given. Its id follows from the entry's, so that two runs at once
// give it one stage; a number tells it from those that were set aside since.
func (r *photoReading) putRight(sh *shot, old tracker.Event) tracker.Event {
	said := r.entry.event(tracker.Staged)
	fresh := old
	fresh.Seq, fresh.Target, fresh.Recorded = 0, old.ID, said.Recorded
	if old.Stage == "" || r.ordered != "" {
		fresh.Stage = r.stage
	}
	if r.correct && r.timed {
		fresh.At, fresh.Doubt, fresh.DeviceTime = said.At, said.Doubt, false
	}
	fresh.By, fresh.Note = orUnknown(said.By, old.By), orUnknown(said.Note, old.Note)
	fresh.Reason = orUnknown(said.Reason, "stage given when the photograph was read again")
	for n := 0; ; n++ {
		fresh.ID = tracker.PhotoEventID(sh.sum, "stage of "+old.ID, n)
		if !r.isKnown(fresh) {
			return fresh
		}
	}
}

// stillAccepted says of corrections what was accepted of the entries that they
// replace: a code that somebody compared stays compared. What was accepted of a
// stage or a time that was wrong says nothing of the one that is right.
func (r *photoReading) stillAccepted(sh *shot, given []tracker.Event) (again []tracker.Event) {
	for _, fresh := range given {
		old, _ := r.rec.Event(fresh.Target)
		for _, m := range r.rec.Verdict(old).Marks {
			if m.Rule == tracker.RuleNoStage || !m.Asks || m.Open() || r.correct && m.Rule != tracker.RuleProbableCode {
				continue
			}
			e := r.acceptances([]tracker.Mark{m}, m.Accepted)[0]
			e.ID, e.Target, e.Via = tracker.PhotoEventID(sh.sum, string(m.Rule)+" of "+fresh.ID, 0), fresh.ID, "photo"
			again = append(again, e)
		}
	}
	return again
}

// standing is what counts now of the events of a photograph: of an entry that
// was corrected its correction, of one that was set aside the entry itself.
func (r *photoReading) standing(events []tracker.Event) (all []tracker.Verdict) {
	for _, e := range events {
		now, stands := r.rec.Stands(e.ID)
		if !stands {
			now, _ = r.rec.Event(e.ID)
		}
		if !slices.ContainsFunc(all, func(v tracker.Verdict) bool { return v.Event.ID == now.ID }) {
			all = append(all, r.rec.Verdict(now))
		}
	}
	return all
}

// tellGiven says how many entries of a photograph got their stage, and that the
// others were left alone.
func (r *photoReading) tellGiven(sh *shot, verdicts []tracker.Verdict) {
	given, left := 0, 0
	for _, v := range verdicts {
		switch {
		case r.news[v.Event.ID] && r.given[v.Event.ID] && v.Event.Stage == r.stage:
			given++
		case !r.news[v.Event.ID] && !isTrialEvent(v.Event):
			left++
		}
	}
	if given == 0 {
		return
	}
	text := fmt.Sprintf("%s of this photograph now %s", wording.Counted(given, "entry", "entries"), sayOrSays(given)+string(r.stage))
	if left > 0 {
		text += fmt.Sprintf("; %d left alone: with a stage already, corrected or set aside", left)
	}
	r.say("%s: %s", sh.path, text)
}

func sayOrSays(n int) string {
	if n == 1 {
		return "says "
	}
	return "say "
}

// fewPhotos is how many photographs a command to type names one by one.
const fewPhotos = 3

// remedy is what to type for the marks that ask at the end of a run: what has
// no stage gets it from its photographs, named one by one or as they were named.
func (r *photoReading) remedy() string {
	var named, words []string
	others := false
	for _, m := range r.open {
		path, ok := r.paths[m.Event]
		if m.Rule != tracker.RuleNoStage || !ok {
			others = true
		} else if !slices.Contains(named, path) {
			named = append(named, path)
		}
	}
	if slices.Sort(named); len(named) > fewPhotos {
		named = r.words
	}
	for _, path := range named {
		words = append(words, shellWord(path))
	}
	text := "soaktag read " + strings.Join(words, " ") + " --stage STAGE"
	switch {
	case len(named) == 0:
		return "put it right with soaktag amend"
	case others:
		return "what has no stage: " + text + "; else put it right with soaktag amend"
	}
	return "say which stage: " + text
}
