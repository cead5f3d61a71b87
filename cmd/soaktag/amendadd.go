package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

func amendAddCommand(do cli.ActionFunc) *cli.Command {
	return &cli.Command{
		Name: "add", Usage: "specimens are added, or one is glued anew from its halves", ArgsUsage: " ", Action: do,
		Flags: append(entryFlags(),
			&cli.BoolFlag{Name: "missing", Usage: "all that the plan in force lacks, dealt as the first were"},
			&cli.StringFlag{Name: "adhesive", Usage: "the plan's `KEY`"},
			&cli.StringFlag{Name: "treatment", Usage: "the plan's `KEY`"},
			&cli.StringFlag{Name: "board", Usage: "the `BOARD` it was cut from"},
			&cli.StringFlag{Name: "of", Usage: "the earlier specimen, `CODE`, whose halves were glued anew"},
			&cli.IntFlag{Name: "count", Usage: "how many, `N`", Value: 1}),
	}
}

// amendAdd deals specimens after the study began.
func (b *book) amendAdd(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	if emptied(c, "adhesive") || emptied(c, "treatment") { // not the earlier specimen's: a variable left unset
		return usageError("%s", wording.Cause(intake.WhichGroup{}))
	}
	return b.take(intake.Add{Missing: c.Bool("missing"), Of: c.String("of"), Adhesive: c.String("adhesive"), Treatment: c.String("treatment"),
		Board: c.String("board"), NoBoard: emptied(c, "board"), Count: c.Int("count")})
}

// emptied reports whether a flag was given as nothing.
func emptied(c *cli.Context, flag string) bool { return c.IsSet(flag) && c.String(flag) == "" }
