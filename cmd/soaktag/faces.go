package main

import (
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// facesCommand records the fracture faces of one half, read dry and blind, and
// keeps a photograph of them.
func (s *session) facesCommand() *cli.Command {
	return &cli.Command{
		Name:      "faces",
		Usage:     "record the fracture faces of one half, and keep a photograph of them",
		ArgsUsage: "CODE/HALF",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "wood-failure", Usage: "`PERCENT` of the face that failed in the wood"},
			&cli.StringFlag{Name: "mode", Usage: "failure `MODE`: where it failed, in your own words (AF, CF, SF, mixed)"},
			&cli.BoolFlag{Name: "shallow", Usage: "wood failure of a few fibres only"},
			&cli.StringFlag{Name: "photo", Usage: "a photograph of this half's face to keep: `FILE`, a JPEG, PNG or WebP"}),
		Action: func(c *cli.Context) error { return s.write(c, func(b *book) error { return b.faces(c) }) },
	}
}

func (b *book) faces(c *cli.Context) error {
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
	form := intake.Faces{Subject: sub.Text, Shallow: c.Bool("shallow"), Picture: picture}
	form.WoodFailure, err = b.need(c, "wood-failure", question{"WOOD FAILURE, percent", "80", true, readable(intake.ParsePercent)})
	if err != nil {
		return err
	}
	if _, err := intake.ParsePercent(form.WoodFailure); err != nil {
		return desked(err)
	}
	if form.Mode, err = b.need(c, "mode", question{"FAILURE MODE (Enter for none)", "SF", false, anyWords}); err != nil {
		return err
	}
	return b.take(form)
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

// A stopped error says that somebody at a terminal did not answer a question.
type stopped struct{ error }

func (e *stopped) Unwrap() error { return e.error }

// need is the value of a flag. At a terminal a missing one is asked for, again
// until it can be read or somebody gives up: with q, or with nothing twice.
// Without one a missing one that must be there is an error that says what to add.
func (b *book) need(c *cli.Context, flag string, q question) (string, error) {
	if text := strings.TrimSpace(c.String(flag)); text != "" {
		return text, nil
	}
	missing := &stopped{usageError("%s wants --%s; add --%s %q; nothing recorded", c.Command.Name, flag, flag, q.example)}
	for empty := 0; ; {
		text, err := b.ask(q.text + "?")
		switch {
		case err != nil || text == "" && !q.must:
			return "", err
		case strings.EqualFold(text, "q"), text == "" && (empty > 0 || !b.terminal):
			return "", missing
		case text == "":
			empty++
			b.say("this one has to be answered; q stops, and nothing is recorded")
			continue
		}
		if err := desked(q.check(text)); err == nil {
			return text, nil
		} else {
			b.complain(err)
		}
	}
}

// A question is put to somebody at a terminal.
type question struct {
	text, example string
	must          bool
	check         func(answer string) error
}

func anyWords(string) error { return nil }

// readable makes a check of a parser.
func readable[T any](parse func(string) (T, error)) func(string) error {
	return func(text string) error {
		_, err := parse(text)
		return err
	}
}
