package worksheet

import (
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// lotsOf are the lots that wait for a stage behind the glue-up, which are done
// together. The break has none: its order is that of soaktag next.
func lotsOf(rec *tracker.Record, stage schedule.Stage, now time.Time) []tracker.DueGroup {
	if stage.Prepares() || stage == schedule.GlueUp || tracker.WorkOf(stage).Order == tracker.AsBroken {
		return nil
	}
	return rec.Lots(stage, now)
}

// byLot lists lots under headings, soonest first, and last what is glued and not so
// far yet, or so nobody wrote down. What is not glued is left out.
func byLot(rec *tracker.Record, lots []tracker.DueGroup, work tracker.Work) (rows []Row) {
	n := 0
	add := func(heading string, specimens []tracker.Specimen) {
		rows = append(rows, Row{Heading: heading})
		for _, specimen := range specimens {
			n++
			rows = append(rows, rowOf(rec.Study(), specimen, work, n))
		}
	}
	for _, lot := range lots {
		specimens := specimensOf(lot)
		if work.Order == tracker.ByBath {
			sorted(rec, specimens, work.Order)
		}
		add(wording.WorkLot(rec, lot), specimens)
	}
	if behind := notSoFar(rec, work.Stage); len(behind) > 0 {
		sorted(rec, behind, work.Order)
		add(fmt.Sprintf("not so far yet: %d", len(behind)), behind)
	}
	return rows
}

func specimensOf(lot tracker.DueGroup) (list []tracker.Specimen) {
	for _, d := range lot.Items {
		list = append(list, d.Specimen)
	}
	return list
}

// notSoFar lists what is glued and has a stage to come that is not next.
func notSoFar(rec *tracker.Record, stage schedule.Stage) (list []tracker.Specimen) {
	for _, life := range rec.Lives() {
		if _, glued := life.GluedUp(); glued && rec.Ahead(life, stage) && !life.IsNext(stage) {
			list = append(list, life.Specimen)
		}
	}
	return list
}

// legend says what the keys of the adhesives on a sheet mean; nothing where none is
// on it.
func legend(study *tracker.Study, rows []Row) []string {
	var keys []string
	for _, row := range rows {
		if row.Adhesive != "" && !slices.Contains(keys, row.Adhesive) {
			keys = append(keys, row.Adhesive)
		}
	}
	if text := wording.Keys(study, keys); text != "" {
		return []string{text}
	}
	return nil
}
