package main

import (
	"cmp"
	"io"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

func (s *session) worksheetCommand() *cli.Command {
	return &cli.Command{
		Name:      "worksheet",
		Usage:     "print a sheet to work by with a pencil, as PDF; for cut with a drawing of each board",
		ArgsUsage: "STAGE",
		Flags: []cli.Flag{
			studyFlag(), replaceFlag(),
			&cli.StringFlag{Name: "out", Usage: "the PDF to write, `FILE.pdf`; for cut also FILE.svg"},
			&cli.StringFlag{Name: "page", Usage: "`PAGE`: a4 or letter (else that of the plan or of the labels)"},
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
	stage, err := intake.ParseStage(rec, word)
	if err != nil {
		return desked(err)
	}
	if isDrawing(out) {
		return s.drawing(c, rec, stage)
	}
	page := worksheet.Of(rec, stage)
	page.Page = cmp.Or(c.String("page"), page.Page)
	if page.Date, err = s.stamp(); err != nil {
		return err
	}
	if len(page.Rows) == 0 {
		return usageError("no specimen still has its %s to come", stage)
	}
	if tracker.WorkOf(stage).Drawn {
		layouts, err := worksheet.Layouts(rec)
		if err != nil {
			s.say("no drawing of the cuts: %v", err)
		}
		page.Cuts = worksheet.CutMaps(layouts, rec.Study())
	}
	if err := writeOut(c, pdfFile, out, func(w io.Writer) error { return printFault(worksheet.Write(w, page)) }); err != nil {
		return err
	}
	s.print("%s: %s, %s, in the order to do them%s\n", out, stage, wording.Plural(len(page.Rows), "specimen"), drawnText(page))
	for _, text := range wording.LeftOut(worksheet.LeftOut(rec, stage)) {
		s.say("left out: %s", text)
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
