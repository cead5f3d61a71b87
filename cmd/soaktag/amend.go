package main

import (
	"errors"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// amendCommand puts the record right. Nothing is overwritten: every correction
// is an event of its own, with who, when and why.
func (s *session) amendCommand() *cli.Command {
	amend := func(do func(*book, *cli.Context) error) cli.ActionFunc {
		return func(c *cli.Context) error {
			return s.amending(c, func(b *book) error {
				if err := b.whyAmended(c); err != nil {
					return err
				}
				return do(b, c)
			})
		}
	}
	return &cli.Command{
		Name:  "amend",
		Usage: "put the record right, with a reason",
		Subcommands: []*cli.Command{
			{Name: "void", Usage: "take events out of the count", ArgsUsage: "EVENT...", Flags: manyFlags(), Action: amend((*book).amendVoid)},
			{Name: "correct", Usage: "replace what events say", ArgsUsage: "EVENT... FIELD=VALUE...", Flags: manyFlags(),
				Description: strings.Join(intake.Correctable(), ", "), Action: amend((*book).amendCorrect)},
			{Name: "exchange", Usage: "two labels sat on each other's specimen", ArgsUsage: "A B --from TIME",
				Flags: append(entryFlags(),
					&cli.StringFlag{Name: "from", Usage: "`TIME` from which they were exchanged"},
					&cli.StringFlag{Name: "until", Usage: "`TIME` until which they were exchanged (for ever unless given)"}),
				Action: amend((*book).amendExchange)},
			{Name: "relabel", Usage: "a label was printed again, or an unknown code is explained", ArgsUsage: "CODE/HALF",
				Flags: append(entryFlags(),
					&cli.StringFlag{Name: "was", Usage: "the unknown `CODE` that meant this specimen"},
					&cli.StringFlag{Name: "until", Usage: "with --was: `TIME` until which it did (for ever unless given)"}),
				Action: amend((*book).amendRelabel)},
			{Name: "move", Usage: "a specimen went into another bath", ArgsUsage: "CODE... --bath BATH",
				Flags:  append(entryFlags(), &cli.StringFlag{Name: "bath", Usage: "the `BATH` it went into"}),
				Action: amend((*book).amendMove)},
			amendPlanCommand(amend((*book).amendPlan)),
			amendAddCommand(amend((*book).amendAdd)),
		},
	}
}

// whyAmended is the reason of an amendment; at a terminal it is asked for.
func (b *book) whyAmended(c *cli.Context) (err error) {
	if b.desk.Reason == "" {
		b.desk.Reason, err = b.ask("why? the reason stays on record:")
	}
	if err == nil && b.desk.Reason == "" {
		err = usageError("amend %s wants a reason that stays on record: add --reason \"why\"", c.Command.Name)
	}
	return err
}

func manyFlags() []cli.Flag {
	return append(entryFlags(),
		&cli.StringFlag{Name: "command", Usage: "all that one command recorded: last, or an `EVENT` of it"},
		&cli.StringFlag{Name: "import", Usage: "all that importing `FILE` recorded"})
}

// meant reads which entries an amendment is about. At a terminal several are
// shown and asked about.
func (b *book) meant(c *cli.Context, words []string) (m intake.Meant, err error) {
	m = intake.Meant{Events: words, Command: c.String("command"), File: c.String("import"), Back: c.Command.Name == "void"}
	if m.File != "" {
		if m.Rows, err = b.readTable(m.File); err != nil {
			return m, err
		}
	}
	m, events, err := b.desk.Entries(m)
	if err != nil || len(events) == 1 {
		return m, desked(err)
	}
	return m, b.agreed(wording.Entries(events, b.zone()) + "; ")
}

func (b *book) amendVoid(c *cli.Context) error {
	meant, err := b.meant(c, c.Args().Slice())
	if err != nil {
		return err
	}
	return b.take(intake.Void{Meant: meant})
}

func (b *book) amendCorrect(c *cli.Context) error {
	words, changes := intake.UntilAssigned(c.Args().Slice())
	meant, err := b.meant(c, words)
	if err != nil {
		return err
	}
	return b.amend(func(sure bool) intake.Input { return intake.Correct{Meant: meant, Changes: changes, Sure: sure} })
}

// amend hands an amendment to the desk. sure: doubtful times were asked about,
// or there is nobody to ask.
func (b *book) amend(form func(sure bool) intake.Input) error {
	out, err := b.desk.Take(form(!b.terminal))
	var r *intake.Refusal
	if !errors.As(err, &r) || r.Cause != (intake.InDoubt{}) {
		return b.came(out, err)
	}
	for _, n := range out.Notes {
		if err := b.sureOf(n); err != nil {
			return err
		}
	}
	out, err = b.desk.Take(form(true))
	out.Notes = slices.DeleteFunc(out.Notes, isTime)
	return b.came(out, err)
}

// isTime reports whether a note says how a time was understood.
func isTime(n intake.Note) bool {
	switch n.(type) {
	case intake.TimeRead, intake.TimeDoubted:
		return true
	}
	return false
}

// sureOf tells a note; a doubtful time is asked about.
func (b *book) sureOf(n intake.Note) error {
	doubt, ok := n.(intake.TimeDoubted)
	if !ok {
		b.tell(intake.Outcome{Notes: []intake.Note{n}})
		return nil
	}
	if may := wording.Undoubted(doubt.Taken, doubt.Doubt, b.zone()); may != "" {
		b.hint("%s", may)
	}
	answer, err := b.ask(wording.TimeDoubted(doubt) + "; record it all the same? [y/N]")
	if err == nil && !isYes(answer) {
		err = usageError("not recorded: give another time with --at")
	}
	return err
}

func (b *book) amendRelabel(c *cli.Context) error {
	if c.NArg() != 1 {
		return usageError("amend relabel wants one CODE/HALF, got %s", wording.Plural(c.NArg(), "word"))
	}
	if err := notEmpty(c, "until"); err != nil {
		return err
	}
	return b.amend(func(sure bool) intake.Input {
		return intake.Relabel{Subject: c.Args().First(), Was: c.String("was"), Until: c.String("until"), Sure: sure}
	})
}

func (b *book) amendExchange(c *cli.Context) error {
	if c.NArg() != 2 {
		return usageError("amend exchange wants two codes, got %s", wording.Plural(c.NArg(), "word"))
	}
	if c.String("from") == "" {
		return usageError("amend exchange wants the moment at which the labels were exchanged: add --from TIME")
	}
	if err := notEmpty(c, "until"); err != nil {
		return err
	}
	return b.amend(func(sure bool) intake.Input {
		return intake.Exchange{A: c.Args().Get(0), B: c.Args().Get(1), From: c.String("from"), Until: c.String("until"), Sure: sure}
	})
}

func (b *book) amendMove(c *cli.Context) error {
	if c.NArg() == 0 || c.String("bath") == "" {
		return usageError("amend move wants a code and the bath it went into: soaktag amend move CODE --bath B2 --reason \"why\"")
	}
	return b.take(intake.Move{Subjects: c.Args().Slice(), Bath: c.String("bath")})
}

// notEmpty refuses a time that was given as nothing.
func notEmpty(c *cli.Context, flag string) error {
	if !c.IsSet(flag) {
		return nil
	}
	_, err := timeGiven(c, flag)
	return err
}
