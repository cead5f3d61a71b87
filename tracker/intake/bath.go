package intake

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// inBath lists the specimens that a bath's tag means in a fact, and the others
// of that bath: meant are those that waited for the stage. When that is nobody,
// all that are not yet broken are meant: the fact is kept, and the record asks.
// Of what is written up later, whom it means is seen as it stood then, without
// those that the record shows not to have been so far.
func (d *Desk) inBath(fact tracker.Event, bath string) (meant, others []*tracker.Life) {
	then, at := d.then(fact)
	members := membersOf(then, bath)
	for _, life := range members {
		if fact.Stage != "" && life.Awaits(fact.Stage) {
			meant = append(meant, life)
		} else {
			others = append(others, life)
		}
	}
	if len(meant) > 0 {
		return meant, others
	}
	for _, life := range members {
		if at.IsZero() || !d.rec.Life(life.Specimen.Code).NotYet(fact.Stage, at) {
			meant = append(meant, life)
		}
	}
	return meant, nil
}

// notMeant puts together those of a bath that were not meant, by their next step.
func notMeant(others []*tracker.Life, bath string, late bool) (notes []NotMeant) {
	for _, life := range others {
		next := schedule.Pass(life.Next, life.Pass)
		i := slices.IndexFunc(notes, func(n NotMeant) bool { return n.Next == next })
		if i < 0 {
			i = len(notes)
			notes = append(notes, NotMeant{Bath: bath, Next: next, Then: late})
		}
		notes[i].Codes = append(notes[i].Codes, life.Specimen.Code)
	}
	return notes
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
