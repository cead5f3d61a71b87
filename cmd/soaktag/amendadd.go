package main

import (
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

func amendAddCommand(do cli.ActionFunc) *cli.Command {
	return &cli.Command{
		Name: "add", Usage: "specimens are added, or one is glued anew from its halves", ArgsUsage: " ", Action: do,
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "adhesive", Usage: "the plan's `KEY`"},
			&cli.StringFlag{Name: "treatment", Usage: "the plan's `KEY`"},
			&cli.StringFlag{Name: "board", Usage: "the `BOARD` it was cut from"},
			&cli.StringFlag{Name: "of", Usage: "the earlier specimen, `CODE`, whose halves were glued anew"},
			&cli.IntFlag{Name: "count", Usage: "how many, `N`", Value: 1}),
	}
}

// amendAdd deals specimens after the study began, and says how their labels are
// printed.
func (b *book) amendAdd(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	if emptied(c, "adhesive") || emptied(c, "treatment") { // not the earlier specimen's: a variable left unset
		return usageError("%s", wording.Cause(intake.WhichGroup{}))
	}
	out, err := b.desk.Take(intake.Add{Of: c.String("of"), Adhesive: c.String("adhesive"), Treatment: c.String("treatment"),
		Board: c.String("board"), NoBoard: emptied(c, "board"), Count: c.Int("count")})
	if err := b.came(out, err); err != nil {
		return err
	}
	for _, n := range out.Notes {
		if added, ok := n.(intake.Added); ok {
			b.hintAdded(added.Event.Dealt)
		}
	}
	return nil
}

// emptied reports whether a flag was given as nothing.
func emptied(c *cli.Context, flag string) bool { return c.IsSet(flag) && c.String(flag) == "" }

func (b *book) hintAdded(dealt []tracker.Specimen) {
	var codes []string
	for _, sp := range dealt {
		codes = append(codes, sp.Code.String())
	}
	b.hint("print the labels: soaktag labels %s --study %s --stock %q --out added.pdf",
		strings.Join(codes, " "), wording.ShellWord(b.file), b.desk.Record().SuggestedStock())
}
