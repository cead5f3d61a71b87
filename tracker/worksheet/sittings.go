package worksheet

import (
	"fmt"
	"strings"
	"time"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
)

// bySitting divides the sheet of the glue-up as what is still to glue is laid out
// from now on. What is in no sitting comes on a sheet of its own.
func bySitting(rec *tracker.Record, whole Sheet, now time.Time) (sheets []Sheet) {
	study := rec.Study()
	open := map[labels.Code]Row{}
	for _, row := range whole.Rows {
		open[row.Code] = row
	}
	sittings := design.LayOutLeft(rec, now).Sittings
	for _, s := range sittings {
		sheet := whole
		sheet.Rows = gluedRows(study, s, open)
		sheet.Facts = append(sittingFacts(study, s), legend(study, sheet.Rows)...)
		if s.InClamps() {
			sheet.Boxes = without(whole.Boxes, "clamp")
		}
		if len(sittings) > 1 {
			sheet.Sitting, sheet.Name = s.Number, fmt.Sprintf("%s, sitting %d of %d", whole.Stage, s.Number, len(sittings))
		}
		sheets = append(sheets, sheet)
	}
	return append(sheets, inNone(study, whole, open)...)
}

// gluedRows takes the rows of a sitting out of those that are open. What to mix
// stands at the first of a batch.
func gluedRows(study *tracker.Study, s design.Sitting, open map[labels.Code]Row) (rows []Row) {
	for i, b := range s.Bonds {
		rows = append(rows, gluedRow(study, open[b.Code], s, i))
		delete(open, b.Code)
	}
	for _, b := range s.Batches {
		rows[b.First-1].Mix, rows[b.First-1].Lasts = wording.Mix(b, study.Units), wording.Lasts(b)
	}
	return rows
}

// inNone is the sheet of what is in no sitting, such as one whose treatment the
// plan does not know.
func inNone(study *tracker.Study, whole Sheet, open map[labels.Code]Row) []Sheet {
	sheet := whole
	sheet.Rows, sheet.Name = nil, whole.Stage+", in no sitting"
	for _, row := range whole.Rows {
		if _, ok := open[row.Code]; ok {
			sheet.Rows = append(sheet.Rows, row)
		}
	}
	if len(sheet.Rows) == 0 {
		return nil
	}
	sheet.Facts = legend(study, sheet.Rows)
	return []Sheet{sheet}
}

func without(boxes []string, name string) (left []string) {
	for _, box := range boxes {
		if box != name {
			left = append(left, box)
		}
	}
	return left
}

// gluedRow adds to a row what the bond asks for: its clamp and force.
func gluedRow(study *tracker.Study, row Row, s design.Sitting, i int) Row {
	row.Order = i + 1
	var numbers []string
	for _, n := range s.Bonds[i].Clamps {
		numbers = append(numbers, fmt.Sprint(n))
	}
	row.Clamp = strings.Join(numbers, ", ")
	for _, c := range design.Clampings(study) {
		if c.Adhesive == s.Bonds[i].Adhesive {
			row.Force = forceOf(c, study.Units)
		}
	}
	return row
}

func forceOf(c design.Clamping, u quantity.System) string {
	switch {
	case c.Contact:
		return "contact"
	case c.Force > 0:
		return u.AboutForce(c.Force)
	}
	return ""
}

// sittingFacts says when a sitting is, and when its faces are planed.
func sittingFacts(study *tracker.Study, s design.Sitting) (facts []string) {
	if s.Dated() {
		facts = append(facts, "Planned: "+wording.SittingTime(s, study.Zone)+".")
	}
	if text := wording.Planing(s, study.Zone); text != "" {
		facts = append(facts, "Plane: "+text+"; short pieces by hand, for they shatter in a planer.")
	}
	for _, text := range []string{wording.Assembly(study, s), wording.PressedTo(study, s)} {
		if text != "" {
			facts = append(facts, text)
		}
	}
	return facts
}
