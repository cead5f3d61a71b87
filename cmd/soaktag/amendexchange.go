package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/wording"
)

func (b *book) amendExchange(c *cli.Context) error {
	if c.NArg() != 2 {
		return usageError("amend exchange wants two codes, got %s", wording.Plural(c.NArg(), "word"))
	}
	if c.String("from") == "" {
		return usageError("amend exchange wants the moment at which the labels were exchanged: add --from TIME")
	}
	fact := b.entry.event(tracker.Exchanged)
	var subs [2]subject
	for i := range subs {
		sub, err := b.dealt(c.Args().Get(i))
		if err != nil {
			return err
		}
		subs[i] = sub
	}
	if subs[0].code == subs[1].code {
		return usageError("%s cannot be exchanged with itself", subs[0].code)
	}
	var err error
	if fact.At, fact.Doubt, err = b.when("from", c.String("from")); err != nil {
		return err
	}
	if fact.Until, err = b.until(c, fact.At); err != nil {
		return err
	}
	fact.Code, fact.Other = subs[0].code, subs[1].code
	if err := b.exchangedAlready(fact); err != nil {
		return err
	}
	return b.settled(fact, fmt.Sprintf("exchanged  %s and %s  from %s%s: %s", fact.Code, fact.Other,
		wording.Span(fact.At, b.zone()), untilText(fact.Until, b), fact.Reason))
}

// exchangedAlready refuses an exchange of two labels at a time when they are
// exchanged anyhow: it would change nothing, and look as if it did.
func (b *book) exchangedAlready(fact tracker.Event) error {
	for _, e := range b.rec.Events() {
		same := e.Code == fact.Code && e.Other == fact.Other || e.Code == fact.Other && e.Other == fact.Code
		if e.Kind != tracker.Exchanged || !same || b.rec.Voided(e.ID) || fact.At.From.Before(e.At.From) ||
			!e.Until.IsZero() && !fact.At.From.Before(e.Until.To) {
			continue
		}
		return withHint(usageError("%s and %s are exchanged already from %s%s; nothing recorded", fact.Code, fact.Other,
			wording.Span(e.At, b.zone()), untilText(e.Until, b)),
			"to say when it ended: soaktag amend void %d --reason \"why\", then exchange again with --from and --until", e.Seq)
	}
	return nil
}
