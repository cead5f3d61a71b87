package main

import (
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Where a plan leads through the bath several times, people scan the same two
// cards each time, and the record knows which pass it is. What is told names a
// later pass with its number, "immersion 2"; typed, that is taken as well.

// parseStage finds a stage of the plan by its name, in any case and with
// hyphens or spaces.
func parseStage(rec *tracker.Record, word string) (schedule.Stage, error) {
	if stage, ok := rec.Study().Stage(word); ok {
		return stage, nil
	}
	return "", withHint(usageError("no stage %q in this study", word),
		"stages are %s; log also takes damaged, lost, found, withdrawn, clock", strings.Join(stageNames(rec), ", "))
}

// stageNames are the stages that there are cards for: a later pass has none of
// its own.
func stageNames(rec *tracker.Record) []string {
	var names []string
	for _, stage := range rec.Study().Stages() {
		names = append(names, string(stage))
	}
	return names
}
