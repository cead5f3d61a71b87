package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// facesCommand records the fracture faces of one half, read dry and blind, and
// keeps a photograph of them.
func (s *session) facesCommand() *cli.Command {
	return &cli.Command{
		Name:      "faces",
		Usage:     "record fracture faces: half by half in a session, or one half with a photograph",
		ArgsUsage: "[CODE/HALF]",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "wood-failure", Usage: "`PERCENT` of the face that failed in the wood"},
			&cli.StringFlag{Name: "mode", Usage: "failure `MODE`: where it failed, in your own words (AF, CF, SF, mixed)"},
			&cli.BoolFlag{Name: "shallow", Usage: "wood failure of a few fibres only"},
			&cli.StringFlag{Name: "photo", Usage: "a photograph of this half's face to keep: `FILE`, a JPEG, PNG or WebP"}),
		Action: func(c *cli.Context) error { return s.write(c, func(b *book) error { return b.faces(c) }) },
	}
}

func (b *book) faces(c *cli.Context) error {
	if c.NArg() == 0 && !facesGiven(c) && !c.IsSet("photo") {
		return b.sit(b.desk.SitOverFaces(), nil)
	}
	sub, err := b.one(c, "CODE/HALF")
	if err != nil {
		return err
	}
	if err := intake.ParseHalf(sub); err != nil {
		return desked(err)
	}
	picture, err := photoGiven(c, sub)
	if err != nil {
		return err
	}
	if picture != nil && !facesGiven(c) {
		return b.take(intake.Picture{Subject: sub.Text, Bytes: picture})
	}
	form := intake.Faces{Subject: sub.Text, WoodFailure: c.String("wood-failure"), Mode: c.String("mode"), Shallow: c.Bool("shallow"), Picture: picture}
	if !b.terminal {
		return b.take(form)
	}
	filling, err := b.desk.FillFaces(sub, form)
	if err != nil {
		return desked(err)
	}
	if err := b.fill(filling); err != nil {
		return err
	}
	return b.take(filling.Faces())
}

// facesGiven reports whether the command line says how the faces look.
func facesGiven(c *cli.Context) bool {
	return c.IsSet("wood-failure") || c.IsSet("mode") || c.IsSet("shallow")
}

// one reads the only specimen that a command is about; at a terminal it asks
// for one that is missing.
func (b *book) one(c *cli.Context, what string) (intake.Subject, error) {
	word := c.Args().First()
	if c.NArg() > 1 {
		return intake.Subject{}, usageError("%s takes one %s, got %s", c.Command.Name, what, wording.Plural(c.NArg(), "word"))
	}
	if word == "" {
		answer, err := b.ask(what + "?")
		if err != nil {
			return intake.Subject{}, err
		}
		word = answer
	}
	if word == "" {
		return intake.Subject{}, usageError("%s wants %s; for example soaktag %s HBR-017-J/1", c.Command.Name, what, c.Command.Name)
	}
	var out intake.Outcome
	sub, err := b.desk.Specimen(&out, word)
	b.tell(out)
	if err == nil && b.terminal {
		b.say("==== %s ====", sub)
	}
	return sub, desked(err)
}

// facesSheet prints the sheet for the fracture faces.
func (s *session) facesSheet(c *cli.Context, page worksheet.Sheet, head string) error {
	if len(page.Rows) == 0 {
		return usageError("no half waits to have its faces read; soaktag next names what waits to be broken")
	}
	if err := s.writeSheets(c, []worksheet.Sheet{page}, head); err != nil {
		return err
	}
	s.print("%s: faces, %s, in the order of soaktag faces\n", c.String("out"), wording.Counted(len(page.Rows), "half", "halves"))
	return nil
}
