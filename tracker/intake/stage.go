package intake

import (
	"soaktag/schedule"
	"soaktag/tracker"
)

// ParseStage finds a stage of the plan by its name, in any case and with
// hyphens or spaces, or a later pass through the bath by its number. The error
// is a *Refusal.
func ParseStage(rec *tracker.Record, word string) (schedule.Stage, error) {
	if stage, ok := rec.Study().Stage(word); ok {
		return stage, nil
	}
	if plain := tracker.PlainWord(word); plain == "waterchange" || plain == "waterchanged" {
		return tracker.WaterChange, nil
	}
	return "", refuse("no stage %q in this study", word).with(StagesAre{StageNames(rec)})
}

// StageNames are the stages that there are cards for: a later pass has none of
// its own.
func StageNames(rec *tracker.Record) []string {
	var names []string
	for _, stage := range rec.Study().Stages() {
		names = append(names, string(stage))
	}
	if rec.Study().ChangesWater() {
		names = append(names, string(tracker.WaterChange))
	}
	return names
}
