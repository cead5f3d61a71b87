package worksheet

import (
	"soaktag/labels"
	"soaktag/labels/sheet"
	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// Cards lists the cards of a study, for the stages of its plan, for people and
// for baths, each with what there is to mind, and each bath's tag with what it
// holds.
func Cards(rec *tracker.Record, people, baths []string) []sheet.Card {
	var stages []string
	for _, stage := range rec.Study().Stages() {
		stages = append(stages, string(stage))
	}
	if rec.Study().ChangesWater() {
		stages = append(stages, string(tracker.WaterChange))
	}
	cards := sheet.Cards(stages, people, baths)
	u := rec.Study().Units
	for i := range cards {
		switch c := &cards[i]; c.Kind {
		case labels.CardStage:
			c.Caution = Caution(c.Name, u)
		case labels.CardBath:
			c.Caution, c.Care, c.Holds = bathWarning, inUnits(bathCare, u), heldBy(rec, c.Name)
		}
	}
	return cards
}

// AddLabels puts the labels of issues on a job, under the title of the study and
// with a scale bar as its people measure paper.
func AddLabels(job *sheet.Job, study *tracker.Study, issues []intake.Issue) {
	job.Title, job.Ruler = study.Title, Ruler(study.Units)
	for _, l := range issues {
		job.Labels = append(job.Labels, sheet.Label{Code: l.Code, Trial: l.Trial, Issue: l.Number})
	}
}

// heldBy lists the codes of the specimens of a bath, as dealt.
func heldBy(rec *tracker.Record, bath string) (codes []string) {
	for _, specimen := range rec.Specimens() {
		if specimen.Bath == bath {
			codes = append(codes, specimen.Code.String())
		}
	}
	return codes
}
