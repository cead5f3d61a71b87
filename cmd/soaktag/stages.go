package main

import (
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Where a plan leads through the bath several times, people scan the same two
// cards each time, and the record knows which pass it is. What is told names a
// later pass with its number, "immersion 2"; typed, that is taken as well.

// isNext reports whether a stage, as somebody named it, is the next of a life.
// Without a number it is the next pass, whichever that is.
func isNext(life *tracker.Life, named schedule.Stage) bool {
	stage, pass := schedule.PassOf(named)
	return stage == life.Next && (pass == 1 || pass == life.Pass)
}

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

// stageRows are the stages of a plan in the order in which they happen: every
// pass through the bath on its own, and a stage of the plan's own behind the one
// that its interval begins with.
func stageRows(study *tracker.Study) []schedule.Stage {
	rows := schedule.Stages()
	for n := 2; n <= mostPasses(study); n++ {
		at := slices.Index(rows, schedule.Break)
		rows = slices.Insert(rows, at, schedule.Pass(schedule.Immersion, n), schedule.Pass(schedule.LiftOut, n))
	}
	for _, iv := range planned(study) {
		if at := slices.Index(rows, iv.From); at >= 0 && !slices.Contains(rows, iv.To) {
			rows = slices.Insert(rows, at+1, iv.To)
		}
	}
	for _, own := range study.Stages() {
		if !slices.Contains(rows, own) {
			rows = append(rows, own)
		}
	}
	return rows
}

// mostPasses is the highest pass through the bath that a plan names.
func mostPasses(study *tracker.Study) int {
	most := 1
	for _, iv := range planned(study) {
		for _, stage := range []schedule.Stage{iv.From, iv.To} {
			_, n := schedule.PassOf(stage)
			most = max(most, n)
		}
	}
	return most
}

// planned lists all intervals that a plan has for anyone.
func planned(study *tracker.Study) []schedule.Interval {
	all := slices.Clone(study.Intervals)
	for _, a := range study.Adhesives {
		all = append(all, a.Intervals...)
	}
	for _, t := range study.Treatments {
		all = append(all, t.Intervals...)
	}
	return all
}

// passNames says of every event that was a pass through the bath which it was;
// "immersion again" beyond those planned.
func passNames(life *tracker.Life) map[string]schedule.Stage {
	names, met := map[string]schedule.Stage{}, map[schedule.Stage]bool{}
	for _, step := range life.Steps {
		if step.Pass == 0 {
			continue
		}
		name := schedule.Pass(step.Stage, step.Pass)
		if met[name] {
			name = step.Stage + " again"
		}
		names[step.Event], met[name] = name, true
	}
	return names
}
