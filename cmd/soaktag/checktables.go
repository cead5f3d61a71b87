package main

import (
	"fmt"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// printTables is what stands behind the summary.
func (s *session) printTables(study *tracker.Study, calendar design.Calendar) {
	s.printMatrix(study)
	s.printSchedules(study)
	s.printCuts(study)
	s.printMasses(study)
	s.printClamps(study, calendar.Sittings)
	s.printSittings(study, calendar.Sittings)
	s.printBaths(study)
	s.printLoads(study)
	s.printTelling(study)
	s.printDays(study, calendar)
	s.printCautions(study)
}

// table prints a table under a heading.
func (s *session) table(heading string, t *screen.Table) {
	t.Indent = "  "
	s.print("\n%s\n%s", heading, t)
}

func (s *session) printMatrix(study *tracker.Study) {
	heading := fmt.Sprintf("%s (%s x %s", wording.Plural(design.SpecimenCount(study), "specimen"),
		wording.Plural(len(study.Adhesives), "adhesive"), wording.Plural(len(study.Treatments), "treatment"))
	heading += wording.OnBoards(study)
	heads := []string{"", ""}
	for _, t := range study.Treatments {
		heads = append(heads, t.Key)
	}
	t := &screen.Table{}
	t.Row(heads...)
	for _, a := range study.Adhesives {
		row := []string{a.Key, a.Name}
		for _, t := range study.Treatments {
			row = append(row, count(design.Replicates(a, t)))
		}
		t.Row(row...)
	}
	s.table(heading+")", t)
}

func (s *session) printCuts(study *tracker.Study) {
	u := study.Units
	heading := "Cut (" + wording.Sawing(study) + ")"
	t := &screen.Table{}
	for _, c := range design.CutList(study) {
		row := []string{"in all", wording.Plural(c.Blanks, "blank")}
		if c.Board != "" {
			row[0] = "board " + c.Board
		}
		if c.Length > 0 {
			row = append(row, fmt.Sprintf("%d across", c.Across), u.LengthNumber(c.Length)+" of "+u.Length(c.Of), "gives up to "+wording.Plural(c.Fits, "blank"))
		}
		t.Row(row...)
	}
	s.table(heading, t)
	s.printLayouts(study)
}

func (s *session) printMasses(study *tracker.Study) {
	t, u := &screen.Table{}, study.Units
	for _, m := range design.AdhesiveMasses(study) {
		if m.Net == 0 {
			t.Row(m.Adhesive, wording.Plural(m.Bonds, "bond"), "no spread given")
			continue
		}
		t.Row(m.Adhesive, wording.Plural(m.Bonds, "bond"), u.Dose(m.Net), "mix "+u.Dose(m.Mix))
	}
	s.table("Adhesive (bond area x spread; mix half again for waste)", t)
}

func (s *session) printDates(study *tracker.Study) {
	dates := study.Dates()
	if len(dates) == 0 {
		return
	}
	t := &screen.Table{}
	for _, d := range dates {
		t.Row(d.Treatment, string(d.Stage), wording.Time(d.At, study.Zone))
	}
	s.table("Dates, if the first glue-up is on time", t)
}

func (s *session) printCautions(study *tracker.Study) {
	t := &screen.Table{}
	for _, c := range worksheet.Briefs(study) {
		t.Row(string(c.Stage), c.Text)
	}
	s.table("Cautions (the usual ones only: local codes and licensed practice come first)", t)
}
