package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
)

// acceptCommand lets marks stand, with a reason.
func (s *session) acceptCommand() *cli.Command {
	return &cli.Command{
		Name:      "accept",
		Usage:     "let marks that ask stand, with a reason",
		ArgsUsage: "[CODE|EVENT]...",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "rule", Usage: "only marks of this `RULE`, such as \"too early\""},
			&cli.BoolFlag{Name: "all", Usage: "every mark that asks"}),
		Action: func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.acceptMarks(c) }) },
	}
}

func (b *book) acceptMarks(c *cli.Context) error {
	form := intake.Accept{Words: c.Args().Slice(), Rule: c.String("rule")}
	switch {
	case c.NArg() == 0 && form.Rule == "" && !c.Bool("all"):
		return usageError("accept what? name a code or an event, a --rule, or --all; soaktag status lists what asks")
	case b.desk.Reason == "" && b.terminal && !b.desk.Yes:
		out, marks, err := b.desk.Offer(form)
		if err != nil {
			return desked(err)
		}
		b.tell(out)
		return b.answer(marks)
	case b.desk.Reason == "":
		return usageError("accept wants a reason that stays on record: add --reason \"why\"")
	}
	return b.take(form)
}
