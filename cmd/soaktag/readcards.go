package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/labels/photo"
	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// expire takes a card out of force under which nothing was photographed for
// long.
func (r *photoReading) expire(at time.Time) {
	if !r.carded || at.Sub(r.since) <= intake.CardLasts {
		return
	}
	r.say("%s is no longer in force %s after its last photograph", r.stage, schedule.Short(at.Sub(r.since)))
	r.stage, r.carded = "", false
}

// setCards does what stage and WHO cards say, before the codes beside them are
// recorded. Where photographs are put right, the stage is the one given, not
// that of the cards which misled the first time.
func (r *photoReading) setCards(sh *shot, cards []labels.Card) error {
	var stages []string
	for _, card := range cards {
		switch card.Kind {
		case labels.CardStage:
			if !slices.Contains(stages, card.Name) {
				stages = append(stages, card.Name)
			}
		case labels.CardWho:
			r.entry.By = card.Name
		}
	}
	switch {
	case len(stages) == 0 || r.correct && r.ordered != "":
		return nil
	case len(stages) == 1:
		stage, err := parseStage(r.rec, stages[0])
		r.stage, r.carded = stage, true
		return err
	}
	r.choose(sh, stages)
	return nil
}

// choose decides among the cards of several stages in one photograph: --stage
// does, or nothing.
func (r *photoReading) choose(sh *shot, stages []string) {
	text := fmt.Sprintf("%s: it shows the cards of several stages, %s", sh.path, strings.Join(stages, " and "))
	r.stage, r.carded = r.ordered, true
	if r.ordered != "" {
		r.say("%s: taken as %s, as --stage says", text, r.ordered)
		return
	}
	r.attention = true
	r.warn("%s: none is in force", text)
	r.hint("photograph one stage card at a time; or say which it was: soaktag read %s --stage STAGE", shellWord(sh.path))
}

// answerCards does what YES and UNDO say of what was recorded before.
func (r *photoReading) answerCards(sh *shot, cards []labels.Card, codes bool) error {
	for _, card := range cards {
		switch {
		case card.Kind == labels.CardYes && codes:
			r.refuse(sh, &notRead{"YES lies among codes: nothing is accepted", "look at what asks, then photograph the card alone"})
		case card.Kind == labels.CardYes:
			if err := r.yes(sh); err != nil {
				return err
			}
		case card.Kind == labels.CardUndo && codes:
			r.refuse(sh, &notRead{"UNDO lies among codes: nothing is taken back", "photograph the card alone to take the photograph before it back"})
		case card.Kind == labels.CardUndo:
			if err := r.undo(sh); err != nil {
				return err
			}
		}
	}
	return nil
}

// yes accepts what the last photograph with codes asked. A card acts once: when
// it is read again, other photographs may lie before it.
func (r *photoReading) yes(sh *shot) error {
	switch {
	case r.saidYes(sh):
		r.say("%s: YES was read before, and accepts nothing more", sh.path)
		return nil
	case len(r.asked) == 0:
		r.say("%s: YES, but nothing asks", sh.path)
		return nil
	}
	reason := orUnknown(r.entry.Reason, "confirmed in a photograph")
	accepted := r.acceptances(r.asked, reason)
	for i := range accepted {
		accepted[i].ID, accepted[i].Via = yesID(sh, accepted[i]), "photo"
	}
	if err := r.keepAccepted(accepted, reason); err != nil {
		return err
	}
	r.kept = true
	r.settled()
	return nil
}

func yesID(sh *shot, e tracker.Event) string {
	return tracker.PhotoEventID(sh.sum, "yes "+string(e.Rule)+" of "+e.Target, 0)
}

// saidYes reports whether this very card accepted something before.
func (r *photoReading) saidYes(sh *shot) bool {
	return slices.ContainsFunc(r.rec.Events(), func(e tracker.Event) bool {
		return e.Kind == tracker.Accepted && e.ID == yesID(sh, e)
	})
}

func (r *photoReading) acceptAsked(reason string) error {
	if err := r.accept(r.asked, reason); err != nil {
		return err
	}
	r.settled()
	return nil
}

// settled drops what the last photograph asked.
func (r *photoReading) settled() {
	for _, m := range r.asked {
		delete(r.open, openKey(m))
	}
	r.asked = nil
}

// undo voids what the photograph before recorded. A card acts once: when it is
// read again, other photographs may lie before it.
func (r *photoReading) undo(sh *shot) error {
	if r.saidUndo(sh) {
		r.passUndone(sh)
		return nil
	}
	if len(r.done) == 0 {
		r.warn("%s: UNDO, but nothing recorded in this run is left to take back", sh.path)
		r.attention = true
		return nil
	}
	last := r.done[len(r.done)-1]
	r.done = r.done[:len(r.done)-1]
	var voids []tracker.Event
	for _, e := range last {
		if !r.rec.Voided(e.ID) {
			voids = append(voids, r.voidsOf(sh, e)...)
			r.say("taken back: %s %s", wording.Whom(e), wording.What(e))
		}
		delete(r.fresh, e.ID)
		delete(r.given, e.ID)
		delete(r.aside, e.ID)
	}
	for key, m := range r.open {
		if slices.ContainsFunc(last, func(e tracker.Event) bool { return e.ID == m.Event }) {
			delete(r.open, key)
		}
	}
	r.asked = nil
	if len(voids) == 0 {
		return nil
	}
	_, err := r.db.Record(voids...)
	r.kept = r.kept || err == nil
	return err
}

// voidsOf takes back an entry and what it replaced, which would count again
// otherwise.
func (r *photoReading) voidsOf(sh *shot, e tracker.Event) []tracker.Event {
	voids := []tracker.Event{r.voidOf(sh, e)}
	for e.Target != "" && !slices.ContainsFunc(voids, func(v tracker.Event) bool { return v.Target == e.Target }) {
		e, _ = r.rec.Event(e.Target)
		voids = append(voids, r.voidOf(sh, e))
	}
	return voids
}

func undoID(sh *shot, target string) string { return tracker.PhotoEventID(sh.sum, "undo "+target, 0) }

func (r *photoReading) voidOf(sh *shot, e tracker.Event) tracker.Event {
	void := r.entry.event(tracker.Voided)
	void.ID, void.At, void.Doubt, void.Via = undoID(sh, e.ID), schedule.At(void.Recorded), "", "photo"
	void.Target, void.Code, void.Half, void.Reason = e.ID, e.Code, e.Half, "taken back by a photographed card"
	return void
}

// tellProbableCard warns of a card that was matched, not decoded.
func (r *photoReading) tellProbableCard(sh *shot, f photo.Found) {
	if f.How == photo.Matched && !r.entry.Yes {
		r.warn("%s: the card %s is probable, not decoded; look whether it is that card", sh.path, f.Text)
		r.attention = true
	}
}
