package main

import (
	"cmp"
	"io"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
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
			&cli.IntFlag{Name: "sitting", Usage: "of the glue-up only sitting `N`; without it one page each"},
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
	head, _, err := db.Head()
	if err != nil {
		return err
	}
	if page, ok := worksheet.OfFaces(rec, word); ok {
		return s.facesSheet(c, page, head)
	}
	stage, err := intake.ParseStage(rec, word)
	if err != nil {
		return desked(err)
	}
	if isDrawing(out) {
		return s.drawing(c, rec, stage)
	}
	pages, undrawn, err := worksheet.Drawn(rec, stage, c.Int("sitting"), s.now())
	if err != nil {
		return usageError("%w", err)
	}
	if undrawn != nil {
		s.say("no drawing of the cuts: %v", undrawn)
	}
	if err := s.writeSheets(c, pages, head); err != nil {
		return err
	}
	s.print("%s: %s\n", out, worksheet.Told(pages))
	for _, text := range wording.LeftOut(worksheet.LeftOut(rec, stage, s.now())) {
		s.say("left out: %s", text)
	}
	return nil
}

// writeSheets writes pages as one PDF on the paper asked for, else on that of the study.
func (s *session) writeSheets(c *cli.Context, pages []worksheet.Sheet, head string) (err error) {
	for i := range pages {
		pages[i].Head = wording.ShortHead(head)
	}
	pages[0].Page = cmp.Or(c.String("page"), pages[0].Page)
	if pages[0].Date, err = s.stamp(); err != nil {
		return err
	}
	return writeOut(c, pdfFile, c.String("out"), func(w io.Writer) error { return printFault(worksheet.Write(w, pages...)) })
}

// isDrawing reports whether a file is to be an SVG drawing.
func isDrawing(out string) bool { return strings.EqualFold(filepath.Ext(out), ".svg") }

// drawing writes the cuts of all boards below each other in one SVG file.
func (s *session) drawing(c *cli.Context, rec *tracker.Record, stage schedule.Stage) error {
	out := c.String("out")
	if !tracker.WorkOf(stage).Drawn {
		return usageError("only the cuts are drawn as SVG: name a .pdf for %s", stage)
	}
	layouts, err := worksheet.Layouts(rec)
	if err != nil {
		return usageError("no drawing of the cuts: %w", err)
	}
	err = writeOut(c, svgFile, out, func(w io.Writer) error {
		_, err := io.WriteString(w, worksheet.SVG(layouts, rec.Study()))
		return err
	})
	if err != nil {
		return err
	}
	s.print("%s: cuts of %s\n", out, wording.Plural(len(layouts), "board"))
	return nil
}
