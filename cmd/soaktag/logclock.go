package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker/intake"
)

// logClock keeps what a device's clock showed at a known instant.
func (b *book) logClock(c *cli.Context) error {
	device := c.String("device")
	if device == "" || c.String("shown") == "" {
		return usageError("--stage clock wants --device NAME and --shown TIME, what its clock showed at --at (now unless given)")
	}
	if c.NArg() > 0 {
		return usageError("--stage clock is about a device, not about %q", c.Args().First())
	}
	shown, _, err := schedule.ParseTime(c.String("shown"), b.desk.Recorded, b.zone())
	if err != nil {
		return refused(fmt.Errorf("--shown: %w", err))
	}
	if !shown.Exact() || !b.desk.At.Exact() {
		return usageError("--shown and --at want an instant each, not a range")
	}
	return b.take(intake.Clock{Device: device, Shown: shown.From})
}
