package intake

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// inBath lists the specimens that a bath's tag means in a fact, and says of the
// others of that bath why they are not: meant are those that waited for the stage,
// and of these the lots whose window was open or over, if there are any. When
// nobody waited, all that are not yet broken are meant: the fact is kept, and the
// record asks. Of what is written up later, whom it means is seen as it stood
// then, without those that the record shows not to have been so far.
func (d *Desk) inBath(fact tracker.Event, bath string) (meant []*tracker.Life, others []NotMeant) {
	then, at := d.then(fact)
	members := membersOf(then, bath)
	n := NotMeant{Bath: bath, Stage: fact.Stage, Then: !at.IsZero()}
	for _, life := range members {
		if fact.Stage != "" && life.Awaits(fact.Stage) {
			meant = append(meant, life)
		} else {
			others = n.with(others, life, time.Time{})
		}
	}
	if len(meant) > 0 {
		return d.inTime(then, fact, meant, others, n)
	}
	for _, life := range members {
		if at.IsZero() || !d.rec.Life(life.Specimen.Code).NotYet(fact.Stage, at) {
			meant = append(meant, life)
		}
	}
	return meant, nil
}

// inTime leaves out those that waited for a stage whose lot's window was still to
// open, unless that is all of them: then somebody was early on purpose.
func (d *Desk) inTime(then *tracker.Record, fact tracker.Event, waited []*tracker.Life, others []NotMeant, n NotMeant) ([]*tracker.Life, []NotMeant) {
	opens := then.Opening(waited, fact.Stage, cmp.Or(d.rec.Corrected(fact).Mid(), fact.Recorded))
	var meant []*tracker.Life
	notYet := others
	for i, life := range waited {
		if opens[i].IsZero() {
			meant = append(meant, life)
		} else {
			notYet = n.with(notYet, life, opens[i])
		}
	}
	if len(meant) == 0 {
		return waited, others
	}
	return meant, notYet
}

// with adds a life to those that were not meant for the same reason.
func (n NotMeant) with(all []NotMeant, life *tracker.Life, opens time.Time) []NotMeant {
	n.Next, n.Opens = schedule.Pass(life.Next, life.Pass), opens
	i := slices.IndexFunc(all, func(o NotMeant) bool { return o.Next == n.Next && o.Opens.Equal(n.Opens) })
	if i < 0 {
		i = len(all)
		all = append(all, n)
	}
	all[i].Codes = append(all[i].Codes, life.Specimen.Code)
	return all
}

// then is the record as it stood when a fact happened that is written up later,
// and when that was: a range counts as its middle, as everywhere in a life. What
// happens now is seen as it stands; the instant is zero then.
func (d *Desk) then(fact tracker.Event) (*tracker.Record, time.Time) {
	if !d.late(fact) {
		return d.rec, time.Time{}
	}
	at := d.rec.Corrected(fact).Mid()
	return d.rec.AsOf(at), at
}

// late reports whether a fact is written up later than it happened.
func (d *Desk) late(fact tracker.Event) bool {
	at := d.rec.Corrected(fact).Mid()
	return !at.IsZero() && at.Before(fact.Recorded)
}

// membersOf lists the specimens in or for a bath whose life is not over.
func membersOf(rec *tracker.Record, bath string) []*tracker.Life {
	var members []*tracker.Life
	for _, life := range rec.Lives() {
		if life.Specimen.Bath == bath && life.End == "" && life.Next != "" && isSoaked(rec, life) {
			members = append(members, life)
		}
	}
	return members
}

func isSoaked(rec *tracker.Record, life *tracker.Life) bool {
	t := rec.Study().Treatment(life.Specimen.Treatment)
	return t != nil && t.Soaked
}

// nobodyIn refuses a bath's tag that means nobody.
func (d *Desk) nobodyIn(bath string, stage schedule.Stage) *Refusal {
	if stage == "" || len(membersOf(d.rec, bath)) == 0 {
		return refuse("no specimen is in or for bath %s", bath)
	}
	return refuse("no specimen of bath %s was ready for its %s at that time", bath, stage).with(WriteUpOne{stage})
}

// ofWater makes the event of a change of water, which is the bath's own.
func (d *Desk) ofWater(fact tracker.Event, sub Subject) ([]tracker.Event, error) {
	if sub.Bath == "" {
		return nil, refuse("%s is no bath, and water is changed in a bath", sub).with(ChangeIn{Baths(d.rec)})
	}
	fact.Kind, fact.Stage, fact.Bath, fact.Values = tracker.Measured, "", sub.Bath, tracker.FreshWater()
	return []tracker.Event{about(fact, sub)}, nil
}
