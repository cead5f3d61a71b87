package main

import (
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
)

// logClock keeps what a device's clock showed at a known instant.
func (b *book) logClock(c *cli.Context) error {
	fact := b.entry.event(tracker.ClockSeen)
	fact.Device = c.String("device")
	if fact.Device == "" || c.String("shown") == "" {
		return usageError("--stage clock wants --device NAME and --shown TIME, what its clock showed at --at (now unless given)")
	}
	if c.NArg() > 0 {
		return usageError("--stage clock is about a device, not about %q", c.Args().First())
	}
	shown, _, err := schedule.ParseTime(c.String("shown"), fact.Recorded, b.zone())
	if err != nil {
		return refused(fmt.Errorf("--shown: %w", err))
	}
	if !shown.Exact() || !fact.At.Exact() {
		return usageError("--shown and --at want an instant each, not a range")
	}
	fact.Shown = shown.From
	off := shown.From.Sub(fact.At.From)
	b.say("clock of %s is %s", fact.Device, offText(off))
	return b.keep(fact)
}

func offText(off time.Duration) string {
	switch {
	case off > 0:
		return schedule.Short(off) + " fast"
	case off < 0:
		return schedule.Short(-off) + " slow"
	}
	return "right"
}
