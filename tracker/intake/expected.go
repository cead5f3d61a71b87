package intake

import (
	"time"

	"soaktag/labels"
	"soaktag/schedule"
	"soaktag/tracker"
)

// Expected lists, for each stage that there is a card for, the specimens whose next step
// it is, in the order in which they come: soonest first, then as dealt. Those to be
// broken are in the order of tracker.BreakQueue, which tells nobody the adhesive.
func Expected(rec *tracker.Record, now time.Time) map[string][]labels.Code {
	type place struct {
		stage string
		code  labels.Code
	}
	all, named := map[string][]labels.Code{}, map[place]bool{}
	add := func(stage schedule.Stage, code labels.Code) {
		base, _ := schedule.PassOf(stage)
		code = rec.Label(code, now)
		here := place{string(base), code}
		if code.Serial != 0 && !named[here] {
			all[here.stage], named[here] = append(all[here.stage], code), true
		}
	}
	queue, _ := rec.BreakQueue(now)
	for _, d := range queue {
		add(schedule.Break, d.Specimen.Code)
	}
	for _, d := range rec.Due(now) {
		add(d.Stage, d.Specimen.Code)
	}
	lives := rec.Lives()
	for _, name := range StageNames(rec) {
		for _, life := range lives {
			if stage := schedule.Stage(name); stage != schedule.Break && life.End == "" && life.Awaits(stage) {
				add(stage, life.Specimen.Code)
			}
		}
	}
	return all
}

// CardsOf are the stage cards, bath tags, YES and UNDO of a study, as they are printed
// beside the labels.
func CardsOf(rec *tracker.Record) []labels.Card {
	cards := []labels.Card{{Kind: labels.CardYes}, {Kind: labels.CardUndo}}
	for _, stage := range StageNames(rec) {
		cards = append(cards, labels.Card{Kind: labels.CardStage, Name: stage})
	}
	for _, bath := range Baths(rec) {
		cards = append(cards, labels.Card{Kind: labels.CardBath, Name: bath})
	}
	return cards
}

// WantsReading reports whether a label at a stage is followed by what the gauge showed.
func WantsReading(stage string) bool { return stage == string(schedule.Break) }
