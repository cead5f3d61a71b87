package wording

import (
	"slices"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
)

// WorkLot heads a lot on a worksheet: "bath T1, glued Mon 12 Oct: 6, from Tue
// 2026-10-13 16:54 EDT to Tue 2026-10-13 20:30 EDT". The day of the glue-up stands
// where clamps come off. No adhesive is named, as it is on no such sheet.
func WorkLot(rec *tracker.Record, lot tracker.DueGroup) string {
	var parts []string
	if lot.Bath != "" {
		parts = append(parts, "bath "+lot.Bath)
	}
	if glued := gluedOn(rec, lot); glued != "" && lot.Stage == schedule.ClampRemoval {
		parts = append(parts, "glued "+glued)
	}
	parts = append(parts, Plural(len(lot.Items), "specimen"))
	return strings.Join(parts, ", ") + ": " + Window(lot.Whole(), rec.Zone())
}

// gluedOn lists the days on which a lot was glued.
func gluedOn(rec *tracker.Record, lot tracker.DueGroup) string {
	var days []string
	for _, d := range lot.Items {
		if at, ok := rec.Life(d.Specimen.Code).GluedUp(); ok && !slices.Contains(days, day(at.Mid(), rec.Zone())) {
			days = append(days, day(at.Mid(), rec.Zone()))
		}
	}
	return strings.Join(days, ", ")
}

// Keys says what the keys of some adhesives mean, in the order of the plan: "EPS
// epoxy, slow · EPF epoxy, five minute". Keys that are their names are left out.
func Keys(study *tracker.Study, keys []string) string {
	var parts []string
	for _, a := range study.Adhesives {
		if slices.Contains(keys, a.Key) && a.Name != "" && a.Name != a.Key {
			parts = append(parts, a.Key+" "+a.Name)
		}
	}
	return strings.Join(parts, " · ")
}
