package worksheet

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// Sheets are those for a stage: the specimens that still have it to come, in the
// order to do them; of the glue-up one for each sitting, as they are laid out from
// now on. There is none where nobody has it to come.
func Sheets(rec *tracker.Record, stage schedule.Stage, now time.Time) []Sheet {
	sheet := of(rec, stage, now)
	sheet.Facts = legend(rec.Study(), sheet.Rows)
	switch {
	case len(sheet.Rows) == 0:
		return nil
	case stage == schedule.GlueUp:
		return bySitting(rec, sheet, now)
	}
	return []Sheet{sheet}
}

// Chosen are the sheets for a stage, or that of one sitting of it, from 1; 0 is all.
func Chosen(rec *tracker.Record, stage schedule.Stage, sitting int, now time.Time) ([]Sheet, error) {
	all := Sheets(rec, stage, now)
	if len(all) == 0 {
		return nil, fmt.Errorf("no specimen still has its %s to come", stage)
	}
	if sitting == 0 || sitting == 1 && len(all) == 1 && all[0].Sitting == 0 {
		return all, nil
	}
	last := 0
	for _, sheet := range all {
		if sheet.Sitting == sitting {
			return []Sheet{sheet}, nil
		}
		last = max(last, sheet.Sitting)
	}
	if last == 0 {
		return nil, fmt.Errorf("%s is not divided into sittings", stage)
	}
	return nil, fmt.Errorf("there is no sitting %d: what is still to glue has 1 to %d", sitting, last)
}

// Drawn is Chosen with the drawings of the cuts before the first sheet, where its
// stage has any. undrawn says why there is none; see Layouts.
func Drawn(rec *tracker.Record, stage schedule.Stage, sitting int, now time.Time) (sheets []Sheet, undrawn, err error) {
	sheets, err = Chosen(rec, stage, sitting, now)
	if err != nil || !tracker.WorkOf(stage).Drawn {
		return sheets, nil, err
	}
	layouts, undrawn := Layouts(rec)
	sheets[0].Cuts = cutMaps(layouts, rec.Study())
	return sheets, undrawn, nil
}

// Told says what is on some sheets.
func Told(sheets []Sheet) string {
	rows, lots, boards := 0, 0, len(sheets[0].Cuts)
	for _, sheet := range sheets {
		n := sheet.headings()
		rows, lots = rows+len(sheet.Rows)-n, lots+n
	}
	text := fmt.Sprintf("%s, %s, in the order to do them", sheets[0].Stage, wording.Plural(rows, "specimen"))
	switch {
	case len(sheets) > 1:
		text += fmt.Sprintf(", in %s, a page each", wording.Plural(len(sheets), "sitting"))
	case sheets[0].Sitting > 0:
		text = fmt.Sprintf("%s, %s, in the order to do them", sheets[0].Name, wording.Plural(rows, "specimen"))
	case lots > 1:
		text += fmt.Sprintf(", in %d lots", lots)
	case boards > 0:
		text += ", and drawings of " + wording.Plural(boards, "board")
	}
	return text
}

// of is the sheet for a stage that is not divided into sittings. Once some wait for
// a stage behind the glue-up it goes by their lots.
func of(rec *tracker.Record, stage schedule.Stage, now time.Time) Sheet {
	work := tracker.WorkOf(stage)
	sheet := Sheet{Title: rec.Study().Title, Stage: string(stage), Boxes: work.Boxes, Units: rec.Study().Units, Page: rec.Paper()}
	if lots := lotsOf(rec, stage, now); len(lots) > 0 {
		sheet.Rows = byLot(rec, lots, work)
		return sheet
	}
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
// through its stage: those that still lie in a bath, those that fell apart before
// it, were lost, damaged or withdrawn, and where it goes by lots those not glued yet.
func LeftOut(rec *tracker.Record, stage schedule.Stage, now time.Time) (inBath, ended, unglued int) {
	inLots := len(lotsOf(rec, stage, now)) > 0
	for _, life := range rec.Lives() {
		_, glued := life.GluedUp()
		switch {
		case !rec.Missed(life, stage):
		case !rec.Ahead(life, stage):
			ended++
		case tracker.WorkOf(stage).InAir && life.InWater():
			inBath++
		case inLots && !glued && !life.IsNext(stage):
			unglued++
		}
	}
	return inBath, ended, unglued
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
