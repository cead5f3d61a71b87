package intake

import (
	"cmp"
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A past is what was recorded from a photograph before, and what of it stands.
type past struct {
	entries []tracker.Event          // as they were then
	stands  map[string]tracker.Event // by an entry that was not set aside: what counts of it now
}

// pictureKept is the event that keeps a photograph, whoever sent it.
func (d *Desk) pictureKept(p *Photograph) (tracker.Event, bool) {
	if e, known := d.rec.Event(p.id("", 0)); known {
		return e, true
	}
	return d.sent.picture(d.rec, p.Sum)
}

func (d *Desk) pastOf(p *Photograph) past {
	then := past{stands: map[string]tracker.Event{}}
	if _, kept := d.pictureKept(p); !kept {
		return then
	}
	for _, e := range d.rec.Events() {
		if e.Kind != tracker.Staged || e.ID != p.id(e.Code, e.Half) {
			continue
		}
		then.entries = append(then.entries, e)
		if now, stands := d.rec.Stands(e.ID); stands {
			then.stands[e.ID] = now
		}
	}
	return then
}

// gone reports whether all that was read in a photograph was set aside.
func (t past) gone() bool { return len(t.stands) == 0 }

// open lists what of a photograph can be put right: what counts of its entries
// or, where nothing does and they are to count again, the entries. What was set
// aside by itself is left alone; so is a trial label, whose reading is complete
// without a stage.
func (t past) open(again bool) (all []tracker.Event) {
	for _, e := range t.entries {
		now, stands := t.stands[e.ID]
		if again && t.gone() {
			now, stands = e, true
		}
		if stands && now.Kind == tracker.Staged && !isTrialEvent(now) {
			all = append(all, now)
		}
	}
	return all
}

// toPutRight lists corrections of the entries of a photograph read before: of
// those that still have no stage, which get the one in force, and of all that
// are to be put right. A break wants its reading, so it is no stage to give.
func (rd *reading) toPutRight() (right []tracker.Event) {
	correct := rd.roll.Correct
	if rd.desk.stage == "" && !correct || rd.desk.stage == schedule.Break {
		return nil
	}
	for _, e := range rd.then.open(correct) {
		if rd.wantsStage(e) || correct && rd.isWrong(e) {
			right = append(right, rd.putRight(e))
		}
	}
	return right
}

// wantsStage reports whether an entry still asks for a stage and there is one:
// somebody may have said why it stands without.
func (rd *reading) wantsStage(e tracker.Event) bool {
	asks := func(m tracker.Mark) bool { return m.Rule == tracker.RuleNoStage && m.Open() }
	return e.Stage == "" && rd.desk.stage != "" && slices.ContainsFunc(rd.desk.rec.Verdict(e).Marks, asks)
}

// isWrong reports whether an entry says something else than what is right.
func (rd *reading) isWrong(e tracker.Event) bool {
	d := rd.desk
	sameTime := !e.DeviceTime && e.At.From.Equal(d.At.From) && e.At.To.Equal(d.At.To)
	return rd.roll.Stage != "" && e.Stage != rd.roll.Stage || d.Timed && !sameTime
}

// putRight is an entry with the stage in force, and with the time that is right
// where one was given. Its id follows from the entry's, so that two runs at once
// give it one stage; a number tells it from those that were set aside since.
func (rd *reading) putRight(old tracker.Event) tracker.Event {
	d, right := rd.desk, old
	said := d.event(tracker.Staged)
	right.Seq, right.Target, right.Recorded = 0, old.ID, said.Recorded
	if old.Stage == "" || rd.roll.Stage != "" {
		right.Stage = d.stage
	}
	if rd.roll.Correct && d.Timed {
		right.At, right.Doubt, right.DeviceTime = said.At, said.Doubt, false
	}
	right.By, right.Note = cmp.Or(said.By, old.By), cmp.Or(said.Note, old.Note)
	right.Reason = cmp.Or(said.Reason, "stage given when the photograph was read again")
	for n := 0; ; n++ {
		right.ID = rd.id("stage of "+old.ID, n)
		if !d.knows(right) {
			return right
		}
	}
}

// stillAccepted says of corrections what was accepted of the entries that they
// replace: a code that somebody compared stays compared. What was accepted of a
// stage or a time that was wrong says nothing of the one that is right.
func (rd *reading) stillAccepted(right []tracker.Event) (again []tracker.Event) {
	for _, e := range right {
		old, _ := rd.desk.rec.Event(e.Target)
		for _, m := range rd.desk.rec.Verdict(old).Marks {
			if m.Rule == tracker.RuleNoStage || !m.Asks || m.Open() || rd.roll.Correct && m.Rule != tracker.RuleProbableCode {
				continue
			}
			a := rd.desk.acceptances([]tracker.Mark{m}, m.Accepted)[0]
			a.ID, a.Target, a.Via = rd.id(string(m.Rule)+" of "+e.ID, 0), e.ID, "photo"
			again = append(again, a)
		}
	}
	return again
}

// countAgain sets aside what set aside all the entries of a photograph that is
// put right: they count again. Of one where some stand, whoever set the others
// aside meant just them. The ids follow from those of what is set aside, so that
// the same again is nothing new.
func (rd *reading) countAgain() (again []tracker.Event) {
	if !rd.roll.Correct || rd.desk.stage == schedule.Break || !rd.then.gone() {
		return nil
	}
	for _, v := range rd.desk.rec.Events() {
		mine := func(e tracker.Event) bool { return e.ID == v.Target }
		if v.Kind != tracker.Voided || rd.desk.rec.Voided(v.ID) || !slices.ContainsFunc(rd.then.entries, mine) {
			continue
		}
		e := rd.voidOf(v)
		e.ID, e.Reason = rd.id("again "+v.ID, 0), rd.desk.Reason
		again = append(again, e)
	}
	return again
}
