package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
)

// measureCommand records what was measured on a specimen, a bath or the room.
func (s *session) measureCommand() *cli.Command {
	return &cli.Command{
		Name:      "measure",
		Usage:     "record what was measured on a specimen, a bath or the room",
		ArgsUsage: "SUBJECT NAME=VALUE...",
		Flags:     entryFlags(),
		Action:    func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.measure(c) }) },
	}
}

func (b *book) measure(c *cli.Context) error {
	if c.NArg() < 2 {
		return usageError("measure wants a subject and NAME=VALUE; for example soaktag measure HBR-017-J bond_length=%q",
			b.desk.Record().Study().Units.Choose("40.1 mm", "1.58 in"))
	}
	return b.take(intake.Measure{Subject: c.Args().First(), Values: c.Args().Tail()})
}
