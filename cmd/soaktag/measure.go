package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
)

// measureCommand records what was measured on specimens, in a bath or in the room.
func (s *session) measureCommand() *cli.Command {
	return &cli.Command{
		Name:      "measure",
		Usage:     "record what was measured on specimens, in a bath or in the room",
		ArgsUsage: "SUBJECT... NAME=VALUE...",
		Flags:     entryFlags(),
		Action:    func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.measure(c) }) },
	}
}

func (b *book) measure(c *cli.Context) error {
	subjects, values := intake.UntilAssigned(c.Args().Slice())
	if len(subjects) == 0 || len(values) == 0 {
		return usageError("measure wants a subject and NAME=VALUE; for example soaktag measure HBR-017-J bond_length=%q",
			b.desk.Record().Study().Units.Choose("40.1 mm", "1.58 in"))
	}
	return b.take(intake.Measure{Subjects: subjects, Values: values})
}
