package main

import (
	"errors"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

func amendPlanCommand(do cli.ActionFunc) *cli.Command {
	return &cli.Command{
		Name: "plan", Usage: "another plan governs what has yet to begin", ArgsUsage: "FILE.toml", Flags: entryFlags(), Action: do,
	}
}

// amendPlan puts another plan in force, after saying what it changes.
func (b *book) amendPlan(c *cli.Context) error {
	path, err := oneFile(c, "FILE.toml")
	if err != nil {
		return err
	}
	next, err := b.readPlan(path)
	if err != nil {
		return err
	}
	form := intake.Replan{Name: path, Text: next.Text}
	foreseen, err := b.desk.Preview(form)
	if err != nil {
		b.sayRewrites(path, err)
		return desked(err)
	}
	b.telling("", wording.Replanned(foreseen))
	if err := b.agreed(""); err != nil {
		return err
	}
	return b.take(form)
}

// sayRewrites says why a plan would rewrite what happened, where it would.
func (b *book) sayRewrites(path string, err error) {
	var r *intake.Refusal
	if !errors.As(err, &r) {
		return
	}
	if would, ok := r.Cause.(intake.Rewriting); ok {
		for _, one := range would.Of {
			b.say("error: %s: %s", path, wording.Rewrite(one))
		}
	}
}

// agreed asks, behind the lead, whether the amendment is meant. Nobody to ask: it is.
func (b *book) agreed(lead string) error {
	if !b.terminal || b.desk.Yes {
		return nil
	}
	answer, err := b.ask(lead + "record this amendment? [y/N]")
	if err == nil && !isYes(answer) {
		err = usageError("not recorded: all stays as it was")
	}
	return err
}
