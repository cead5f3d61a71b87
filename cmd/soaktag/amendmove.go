package main

import (
	"slices"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
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
		if !b.goesUnderWater(sub) {
			return usageError("%s is never soaked, it lies in no bath; nothing recorded", sub.shown())
		}
		fact := b.about(b.entry.event(tracker.Moved), sub)
		fact.Bath = c.String("bath")
		events = append(events, fact)
	}
	if !slices.ContainsFunc(b.rec.Study().Adhesives, func(a tracker.Adhesive) bool { return a.Bath == c.String("bath") }) {
		b.hint("the plan names no bath %s: it has no card and no tag", c.String("bath"))
	}
	return b.keep(events...)
}

// goesUnderWater reports whether the plan has an immersion for a specimen.
func (b *book) goesUnderWater(sub subject) bool {
	return slices.Contains(b.rec.Study().Path(lifeOf(b.rec, sub).Specimen), schedule.Immersion)
}
