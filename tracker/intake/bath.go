package intake

import (
	"soaktag/schedule"
	"soaktag/tracker"
)

// inBath lists the specimens that a bath's tag means at a stage, and the others
// of that bath: meant are those whose next step it is. When that is nobody's,
// all that are not yet broken are meant: the fact is kept, and the record asks.
func inBath(rec *tracker.Record, bath string, stage schedule.Stage) (meant, others []*tracker.Life) {
	members := membersOf(rec, bath)
	for _, life := range members {
		if stage != "" && life.IsNext(stage) {
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
