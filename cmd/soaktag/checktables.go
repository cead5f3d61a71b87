package main

import (
	"fmt"
	"io"
	"text/tabwriter"

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
	s.printClamps(study)
	s.printBaths(study)
	s.printLoads(study)
	s.printTelling(study)
	s.printDays(study, calendar)
	s.printCautions(study)
}

// table prints rows in columns under a heading.
func (s *session) table(heading string, rows func(w io.Writer)) {
	s.print("\n%s\n", heading)
	w := tabwriter.NewWriter(s.stdout, 0, 0, 2, ' ', 0)
	rows(w)
	w.Flush()
}

func (s *session) printMatrix(study *tracker.Study) {
	heading := fmt.Sprintf("%s (%s x %s", wording.Plural(design.SpecimenCount(study), "specimen"),
		wording.Plural(len(study.Adhesives), "adhesive"), wording.Plural(len(study.Treatments), "treatment"))
	heading += wording.OnBoards(study)
	s.table(heading+")", func(w io.Writer) {
		fmt.Fprint(w, "  \t")
		for _, t := range study.Treatments {
			fmt.Fprintf(w, "\t%s", t.Key)
		}
		fmt.Fprintln(w)
		for _, a := range study.Adhesives {
			fmt.Fprintf(w, "  %s\t%s", a.Key, a.Name)
			for _, t := range study.Treatments {
				fmt.Fprintf(w, "\t%d", design.Replicates(a, t))
			}
			fmt.Fprintln(w)
		}
	})
}

func (s *session) printCuts(study *tracker.Study) {
	u := study.Units
	heading := fmt.Sprintf("Cut (two blanks a specimen, %.3g %% spare, kerf %s, %s lost at the ends of each board)",
		study.Wood.Spare.Percent(), u.Length(study.Wood.Kerf), u.Length(design.Trim))
	s.table(heading, func(w io.Writer) {
		for _, c := range design.CutList(study) {
			name := "  in all"
			if c.Board != "" {
				name = "  board " + c.Board
			}
			fmt.Fprintf(w, "%s\t%d blanks", name, c.Blanks)
			if c.Length > 0 {
				fmt.Fprintf(w, "\t%d across\t%s of %s\tgives up to %s", c.Across, u.LengthNumber(c.Length), u.Length(c.Of), wording.Plural(c.Fits, "blank"))
			}
			fmt.Fprintln(w)
		}
	})
	s.printLayouts(study)
}

func (s *session) printMasses(study *tracker.Study) {
	s.table("Adhesive (bond area x spread; mix half again for waste)", func(w io.Writer) {
		for _, m := range design.AdhesiveMasses(study) {
			if m.Net == 0 {
				fmt.Fprintf(w, "  %s\t%s\tno spread given\n", m.Adhesive, wording.Plural(m.Bonds, "bond"))
				continue
			}
			fmt.Fprintf(w, "  %s\t%s\t%.1f g\tmix %.1f g\n", m.Adhesive, wording.Plural(m.Bonds, "bond"), m.Net.G(), m.Mix.G())
		}
	})
}

func (s *session) printDates(study *tracker.Study) {
	dates := study.Dates()
	if len(dates) == 0 {
		return
	}
	s.table("Dates, if the first glue-up is on time", func(w io.Writer) {
		for _, d := range dates {
			fmt.Fprintf(w, "  %s\t%s\t%s\n", d.Treatment, d.Stage, wording.Time(d.At, study.Zone))
		}
	})
}

func (s *session) printCautions(study *tracker.Study) {
	s.table("Cautions (the usual ones only: local codes and licensed practice come first)", func(w io.Writer) {
		for _, c := range worksheet.Briefs(study) {
			fmt.Fprintf(w, "  %s\t%s\n", c.Stage, c.Text)
		}
	})
}
