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
	switch {
	case b.desk.Reason == "":
		return usageError("accept wants a reason that stays on record: add --reason \"why\"")
	case c.NArg() == 0 && c.String("rule") == "" && !c.Bool("all"):
		return usageError("accept what? name a code or an event, a --rule, or --all; soaktag status lists what asks")
	}
	return b.take(intake.Accept{Words: c.Args().Slice(), Rule: c.String("rule")})
}
