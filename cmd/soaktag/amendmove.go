package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker"
)

func (b *book) amendMove(c *cli.Context) error {
	if c.NArg() == 0 || c.String("bath") == "" {
		return usageError("amend move wants a code and the bath it went into: soaktag amend move CODE --bath B2 --reason \"why\"")
	}
	subjects, err := b.subjects(c.Args().Slice())
	if err != nil {
		return err
	}
	var events []tracker.Event
	for _, sub := range subjects {
		if sub.bath != "" || lifeOf(b.rec, sub) == nil {
			return usageError("%s is no specimen of this study; nothing recorded", sub.shown())
		}
		fact := b.about(b.entry.event(tracker.Moved), sub)
		fact.Bath = c.String("bath")
		events = append(events, fact)
	}
	return b.keep(events...)
}
