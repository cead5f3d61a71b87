package intake

import (
	"soaktag/schedule"
	"soaktag/tracker"
)

// InBath lists the specimens that a bath's tag means at a stage, and the others
// of that bath: meant are those whose next step it is. When that is nobody's,
// all that are not yet broken are meant: the fact is kept, and the record asks.
func InBath(rec *tracker.Record, bath string, stage schedule.Stage) (meant, others []*tracker.Life) {
	members := membersOf(rec, bath)
	for _, life := range members {
		if stage != "" && isNext(life, stage) {
			meant = append(meant, life)
		} else {
			others = append(others, life)
		}
	}
	if len(meant) == 0 {
		return members, nil
	}
	return meant, others
}

// isNext reports whether a stage, as somebody named it, is the next of a life.
// Without a number it is the next pass, whichever that is.
func isNext(life *tracker.Life, named schedule.Stage) bool {
	stage, pass := schedule.PassOf(named)
	return stage == life.Next && (pass == 1 || pass == life.Pass)
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
