package intake

import (
	"cmp"
	"slices"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/tracker"
)

// Photographed cards do what scanned ones do, with the moment of the photograph
// for now. In one thing they differ: a card that is scanned is gone, but a
// photograph of one may be read again, with others before it than the first time.
// So a photographed YES or UNDO acts once: its events have ids that follow from
// the card's photograph and from what it meant.

// confirmedInPhoto is the reason that a photographed YES stands for.
const confirmedInPhoto = "confirmed in a photograph"

// expire takes a card out of force under which nothing was photographed for
// long.
func (rd *reading) expire() {
	if stage, ago, over := rd.desk.outlived(rd.desk.rec.Corrected(rd.stamp).Mid()); over {
		rd.out.add(CardExpired{stage, ago})
	}
}

// setCards does what stage and WHO cards say, before the codes beside them are
// recorded. Where photographs are put right, the stage is the one given, not
// that of the cards which misled the first time.
func (rd *reading) setCards(cards []labels.Card) {
	var stages []string
	for _, card := range cards {
		switch card.Kind {
		case labels.CardStage:
			if !slices.Contains(stages, card.Name) {
				stages = append(stages, card.Name)
			}
		case labels.CardWho:
			rd.desk.By = card.Name
			rd.tellPhone(Who{card.Name})
		}
	}
	switch {
	case len(stages) == 0 || rd.roll.Correct && rd.roll.Stage != "":
	case len(stages) == 1:
		rd.setCard(stages[0])
	default: // the stage given decides, or none is in force
		rd.desk.stage, rd.desk.stays = rd.roll.Stage, false
		rd.out.add(SeveralStages{rd.Name, stages, rd.roll.Stage})
	}
}

func (rd *reading) setCard(name string) {
	stage, err := ParseStage(rd.desk.rec, name)
	if err != nil {
		rd.refuse(err)
		return
	}
	rd.desk.stage, rd.desk.stays = stage, false
	rd.tellPhone(StageInForce{stage, rd.desk.rec.Corrected(rd.stamp).Mid().Add(CardLasts)})
}

// tellPhone notes to a phone what a card did, as one that was typed: of a folder of
// photographs the listing says it.
func (rd *reading) tellPhone(n Note) {
	if rd.desk.sending != nil {
		rd.out.add(n)
	}
}

// answerCards does what YES and UNDO say of what was recorded before.
func (rd *reading) answerCards(cards []labels.Card, codes bool) (err error) {
	for _, card := range cards {
		switch {
		case card.Kind == labels.CardYes && codes:
			rd.refuse(refuse("YES lies among codes: nothing is accepted").
				with(Advice{"look at what asks, then photograph the card alone"}))
		case card.Kind == labels.CardYes:
			err = rd.yes()
		case card.Kind == labels.CardUndo && codes:
			rd.refuse(refuse("UNDO lies among codes: nothing is taken back").
				with(Advice{"photograph the card alone to take the photograph before it back"}))
		case card.Kind == labels.CardUndo:
			err = rd.undo()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// yes accepts what the last photograph with codes asked.
func (rd *reading) yes() error {
	d := rd.desk
	if rd.acted(tracker.Accepted, rd.yesID) {
		rd.out.add(YesActedBefore{rd.Name})
		return nil
	}
	if len(d.asked) == 0 {
		rd.out.add(YesToNothing{rd.Name})
		return nil
	}
	reason := cmp.Or(d.Reason, confirmedInPhoto)
	accepted := d.acceptances(d.asked, reason)
	for i := range accepted {
		accepted[i].ID, accepted[i].Via = rd.yesID(accepted[i]), "photo"
	}
	if err := d.settle(rd.out, accepted, reason); err != nil {
		return err
	}
	rd.roll.kept = true
	return nil
}

func (rd *reading) yesID(e tracker.Event) string {
	return rd.id("yes "+string(e.Rule)+" of "+e.Target, 0)
}

// undoID is the id of what takes an event back by this card.
func (rd *reading) undoID(target string) string { return rd.id("undo "+target, 0) }

// acted reports whether this very card did something before.
func (rd *reading) acted(kind tracker.Kind, id func(tracker.Event) string) bool {
	return slices.ContainsFunc(rd.desk.rec.Events(), func(e tracker.Event) bool { return e.Kind == kind && e.ID == id(e) })
}

// undo voids what the photograph before recorded.
func (rd *reading) undo() error {
	if rd.acted(tracker.Voided, func(e tracker.Event) string { return rd.undoID(e.Target) }) {
		rd.passUndone()
		return nil
	}
	if len(rd.desk.done) == 0 {
		rd.out.add(NothingToTakeBack{})
		return nil
	}
	last, aside, err := rd.desk.takeBack(rd.out, rd.voidOf)
	rd.roll.forget(last)
	rd.roll.kept = rd.roll.kept || len(aside) < len(last)
	return err
}

func (rd *reading) voidOf(e tracker.Event) tracker.Event {
	void := rd.desk.voidOf(e, "taken back by a photographed card")
	void.ID, void.Via = rd.undoID(e.ID), "photo"
	return void
}

// passUndone goes past the photograph that this card took back before, so that
// another card means the one before that.
func (rd *reading) passUndone() {
	d := rd.desk
	if len(d.done) == 0 {
		return
	}
	last := d.done[len(d.done)-1]
	if !slices.ContainsFunc(last, rd.tookBack) {
		rd.out.add(UndoActedBefore{Name: rd.Name})
		return
	}
	d.done = d.done[:len(d.done)-1]
	rd.roll.back.forget(last)
	if slices.ContainsFunc(last, func(e tracker.Event) bool { return rd.tookBack(e) && !d.rec.Voided(e.ID) }) {
		rd.out.add(UndoActedBefore{Name: rd.Name, Again: true})
	}
}

// tookBack reports whether this card took an entry back before, or one that it
// replaces.
func (rd *reading) tookBack(e tracker.Event) bool {
	for range len(rd.desk.rec.Events()) { // as long a chain of corrections as there can be
		if _, known := rd.desk.rec.Event(rd.undoID(e.ID)); known {
			return true
		}
		if e.Target == "" {
			return false
		}
		e, _ = rd.desk.rec.Event(e.Target)
	}
	return false
}

// tellProbableCard warns of a card that was matched, not decoded.
func (rd *reading) tellProbableCard(f photo.Found) {
	if f.How == photo.Matched && !rd.desk.Yes {
		rd.out.add(ProbableCard{rd.Name, f.Text})
	}
}
