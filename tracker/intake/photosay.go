package intake

import (
	"maps"
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// tell notes what stands of every label, what was put right and what was left
// as it was, and asks what looks wrong.
func (rd *reading) tell(verdicts []tracker.Verdict) error {
	for _, v := range verdicts {
		if id := v.Event.ID; !rd.roll.fresh[id] && !rd.roll.right[id] {
			rd.roll.before++
		}
		rd.out.add(LabelSeen{v, rd.standingOf(v.Event)})
	}
	rd.tellRight(verdicts)
	rd.tellOtherStages(verdicts)
	rd.tellOtherTime(verdicts)
	_, err := rd.desk.ask(rd.out, rd.marks(verdicts))
	return err
}

// standingOf says of the entry of a label whether this photograph added it.
func (rd *reading) standingOf(e tracker.Event) Standing {
	switch {
	case rd.news[e.ID] && rd.roll.right[e.ID]:
		return PutRight
	case rd.news[e.ID]:
		return New
	case rd.desk.rec.Voided(e.ID):
		return CountsNot
	}
	return Known
}

// marks notes marks, the same words once a roll: both halves of a specimen, or
// two photographs, ask the same. It returns those that ask.
func (rd *reading) marks(verdicts []tracker.Verdict) (asking []tracker.Mark) {
	r := rd.roll
	for _, m := range marksOf(verdicts) {
		if words := saidOf(m); !r.told[words] {
			r.told[words] = true
			rd.out.add(Marked{[]tracker.Mark{m}})
		}
		if m.Open() {
			asking = append(asking, m)
		}
		if m.Rule == tracker.RuleNoStage && rd.desk.stage == "" {
			r.unstaged[m.Event] = rd.Name
		}
	}
	return asking
}

// tellRight says how many entries of a photograph got their stage, and that the
// others were left alone.
func (rd *reading) tellRight(verdicts []tracker.Verdict) {
	got := StageGiven{Name: rd.Name, Stage: rd.desk.stage}
	for _, v := range verdicts {
		switch e := v.Event; {
		case rd.standingOf(e) == PutRight && e.Stage == got.Stage:
			got.Entries++
		case !rd.news[e.ID] && !isTrialEvent(e):
			got.Left++
		}
	}
	if got.Entries > 0 {
		rd.out.add(got)
	}
}

// tellOtherStages says that what was read in a photograph before stays as it
// was then; of many labels with one stage, once.
func (rd *reading) tellOtherStages(verdicts []tracker.Verdict) {
	others := map[schedule.Stage][]tracker.Event{}
	for _, v := range verdicts {
		if e := v.Event; rd.otherStage(e) {
			others[e.Stage] = append(others[e.Stage], e)
		}
	}
	stage := rd.desk.stage
	for _, then := range slices.Sorted(maps.Keys(others)) {
		rd.out.add(ReadAtStage{Entries: others[then], InForce: stage, AtOnce: rd.roll.Stage == stage})
	}
}

// otherStage reports whether a label was read before, at another stage than the
// one in force.
func (rd *reading) otherStage(e tracker.Event) bool {
	stage := rd.desk.stage
	return e.Kind == tracker.Staged && stage != "" && e.Stage != stage && !isTrialEvent(e) && rd.standingOf(e) == Known
}

// tellOtherTime says that the time given changes nothing of what was read
// before, at another time.
func (rd *reading) tellOtherTime(verdicts []tracker.Verdict) {
	at := rd.stamp.At
	if !rd.desk.Timed || at != rd.desk.At {
		return
	}
	for _, v := range verdicts {
		if e := v.Event; rd.standingOf(e) == Known && !(e.At.From.Equal(at.From) && e.At.To.Equal(at.To)) {
			rd.out.add(ReadAtTime{e})
			return
		}
	}
}
