package worksheet

import (
	"cmp"
	"slices"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Of is the sheet for a stage: the specimens that still have it to come, in the
// order to do them. It has no rows where nobody has.
func Of(rec *tracker.Record, stage schedule.Stage) Sheet {
	work := tracker.WorkOf(stage)
	sheet := Sheet{Title: rec.Study().Title, Stage: string(stage), Boxes: work.Boxes, Units: rec.Study().Units, Page: rec.Paper()}
	var open []tracker.Specimen
	for _, life := range rec.Lives() {
		if rec.Ahead(life, stage) && !(work.InAir && life.InWater()) {
			open = append(open, life.Specimen)
		}
	}
	sorted(rec, open, work.Order)
	for i, specimen := range open {
		sheet.Rows = append(sheet.Rows, rowOf(rec.Study(), specimen, work, i+1))
	}
	return sheet
}

// LeftOut counts the specimens that a sheet leaves out though they never went
// through its stage: those that still lie in a bath, and those that fell apart
// before it, were lost, damaged or withdrawn.
func LeftOut(rec *tracker.Record, stage schedule.Stage) (inBath, ended int) {
	for _, life := range rec.Lives() {
		switch {
		case !rec.Missed(life, stage):
		case !rec.Ahead(life, stage):
			ended++
		case tracker.WorkOf(stage).InAir && life.InWater():
			inBath++
		}
	}
	return inBath, ended
}

// sorted puts specimens into the order to work in.
func sorted(rec *tracker.Record, specimens []tracker.Specimen, order tracker.Order) {
	slices.SortStableFunc(specimens, func(a, b tracker.Specimen) int {
		switch order {
		case tracker.AsDealt:
			return a.Order - b.Order
		case tracker.ByBath:
			return cmp.Or(cmp.Compare(a.Bath, b.Bath), a.Code.Serial-b.Code.Serial)
		case tracker.AsBroken:
			return rec.BreakOrder(a, b)
		}
		return cmp.Or(cmp.Compare(a.Board, b.Board), a.Code.Serial-b.Code.Serial)
	})
}

// rowOf shows the adhesive only to whoever glues. At the break neither it nor
// the bath, which would give it away, stands on the sheet, unless the plan says
// that breaking is not blind.
func rowOf(study *tracker.Study, specimen tracker.Specimen, work tracker.Work, order int) Row {
	row := Row{Order: order, Code: specimen.Code, Board: specimen.Board}
	if work.Names && !(work.Blind && study.Rule.Blind) {
		row.Adhesive = specimen.Adhesive
	}
	if work.Bath {
		row.Bath = specimen.Bath
	}
	return row
}
