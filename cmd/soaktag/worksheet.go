package main

import (
	"cmp"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

func (s *session) worksheetCommand() *cli.Command {
	return &cli.Command{
		Name:      "worksheet",
		Usage:     "print a sheet to work by with a pencil, as PDF; for cut with a drawing of each board",
		ArgsUsage: "STAGE",
		Description: "Lists the specimens that still have the stage to come, in the order to do them.\n" +
			"For break that is the order of soaktag next; what still lies in a bath is left out.\n" +
			"For cut, --out FILE.svg writes the drawings of the boards alone.",
		Flags: []cli.Flag{
			studyFlag(),
			&cli.StringFlag{Name: "out", Usage: "the PDF to write, `FILE.pdf`; for cut also FILE.svg"},
			&cli.StringFlag{Name: "page", Usage: "`PAGE`: a4 or letter", Value: "a4"},
		},
		Action: s.worksheet,
	}
}

func (s *session) worksheet(c *cli.Context) error {
	word, err := oneFile(c, "STAGE")
	if err != nil {
		return err
	}
	out := c.String("out")
	if out == "" {
		return usageError("worksheet needs --out FILE.pdf")
	}
	db, rec, err := s.openToRead(c)
	if err != nil {
		return err
	}
	defer db.Close()
	stage, err := parseStage(rec, word)
	if err != nil {
		return err
	}
	if isDrawing(out) {
		return s.drawing(rec, stage, out)
	}
	page := worksheetOf(rec, stage)
	page.Page = c.String("page")
	if page.Date, err = s.stamp(); err != nil {
		return err
	}
	if len(page.Rows) == 0 {
		return usageError("no specimen still has its %s to come", stage)
	}
	if stage == schedule.Cut {
		s.drawCuts(&page, rec)
	}
	if err := writeNew(out, func(w io.Writer) error { return printFault(worksheet.Write(w, page)) }); err != nil {
		return err
	}
	s.print("%s: %s, %s, in the order to do them%s\n", out, stage, wording.Plural(len(page.Rows), "specimen"), drawnText(page))
	if n := soaking(rec); stage == schedule.Break && n > 0 {
		s.say("left out: %s still in the bath; print another sheet after the lift-out", wording.Plural(n, "specimen"))
	}
	return nil
}

// drawnText says how many boards are drawn on a sheet.
func drawnText(page worksheet.Sheet) string {
	if len(page.Cuts) == 0 {
		return ""
	}
	return ", and drawings of " + wording.Plural(len(page.Cuts), "board")
}

// worksheetOf lists the specimens that still have the stage to come.
func worksheetOf(rec *tracker.Record, stage schedule.Stage) worksheet.Sheet {
	page := worksheet.Sheet{Title: rec.Study().Title, Stage: string(stage), Boxes: boxesFor(stage)}
	var open []tracker.Specimen
	for _, life := range rec.Lives() {
		if stageAhead(rec.Study(), life, stage) && !(stage == schedule.Break && life.InWater()) {
			open = append(open, life.Specimen)
		}
	}
	sortForStage(rec, open, stage)
	for i, specimen := range open {
		page.Rows = append(page.Rows, rowFor(rec.Study(), specimen, stage, i+1))
	}
	return page
}

// stageAhead reports whether a life has not been through the stage, or through
// all of its passes, and is to go through it.
func stageAhead(study *tracker.Study, life *tracker.Life, stage schedule.Stage) bool {
	switch {
	case life.End != "":
		return false
	case isNext(life, stage):
		return true
	case stagesOf(life)[stage]:
		return false
	}
	return plannedStages(study, life.Specimen, map[schedule.Stage]bool{})[stage]
}

// soaking counts the specimens that still lie in a bath.
func soaking(rec *tracker.Record) int {
	n := 0
	for _, life := range rec.Lives() {
		if life.End == "" && life.InWater() && life.Next != "" {
			n++
		}
	}
	return n
}

// sortForStage puts specimens into the order to work in: glued and unclamped
// as dealt, bath by bath in and out, broken as next names them, else board by
// board along the serials.
func sortForStage(rec *tracker.Record, specimens []tracker.Specimen, stage schedule.Stage) {
	stage, _ = schedule.PassOf(stage)
	slices.SortStableFunc(specimens, func(a, b tracker.Specimen) int {
		switch stage {
		case schedule.GlueUp, schedule.ClampRemoval:
			return a.Order - b.Order
		case schedule.Immersion, schedule.LiftOut:
			return cmp.Or(cmp.Compare(a.Bath, b.Bath), a.Code.Serial-b.Code.Serial)
		case schedule.Break:
			return breakOrder(rec, a, b)
		}
		return cmp.Or(cmp.Compare(a.Board, b.Board), a.Code.Serial-b.Code.Serial)
	})
}

// rowFor shows the adhesive only to whoever glues. At the break neither it nor
// the bath, which would give it away, stands on the sheet, unless the plan says
// that breaking is not blind.
func rowFor(study *tracker.Study, specimen tracker.Specimen, stage schedule.Stage, order int) worksheet.Row {
	row := worksheet.Row{Order: order, Code: specimen.Code, Board: specimen.Board}
	stage, _ = schedule.PassOf(stage)
	switch stage {
	case schedule.GlueUp:
		row.Adhesive = specimen.Adhesive
	case schedule.Immersion, schedule.LiftOut:
		row.Bath = specimen.Bath
	case schedule.Break:
		if !study.Rule.Blind {
			row.Adhesive = specimen.Adhesive
		}
	}
	return row
}

// boxesFor are the headings of what is filled in by hand.
func boxesFor(stage schedule.Stage) []string {
	stage, _ = schedule.PassOf(stage)
	switch stage {
	case schedule.GlueUp:
		return []string{"time", "clamp", "note"}
	case schedule.Immersion:
		return []string{"time", "mass before", "note"}
	case schedule.LiftOut:
		return []string{"time", "mass after", "note"}
	case schedule.Break:
		return []string{"time", "reading", "ended", "wood failure %", "mode", "note"}
	}
	return []string{"time", "note"}
}
