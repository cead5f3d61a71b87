package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/tables"
)

// exportCommand writes the study as plain tables for other programs.
func (s *session) exportCommand() *cli.Command {
	return &cli.Command{
		Name:      "export",
		Usage:     "write everything as plain tables, with the plan and the whole log",
		ArgsUsage: "DIR",
		Description: "CSV tables, datapackage.json that describes their columns and units, plan.toml and\n" +
			"log.jsonl. An earlier export in the same folder is replaced; files of yours are not.\n" +
			"soaktag restore DIR --study NEW.soaktag makes the study again. With --as-of the tables\n" +
			"are of that moment; plan.toml and log.jsonl are always whole and of now.",
		Flags:  []cli.Flag{studyFlag(), asOfFlag()},
		Action: s.export,
	}
}

func (s *session) export(c *cli.Context) error {
	dir, err := oneArgument(c, "the folder to write")
	if err != nil {
		return err
	}
	db, rec, err := s.openToRead(c)
	if err != nil {
		return err
	}
	defer db.Close()
	now, err := s.asOf(c, rec)
	if err != nil {
		return err
	}
	out := tables.Export{Record: rec, Now: now, Plan: rec.Study().Text, Log: db.WriteLog}
	if c.IsSet("as-of") {
		out.Record = rec.AsOf(now)
	}
	if err := tables.WriteDir(dir, out); err != nil {
		return err
	}
	s.print("%s  %s, %s\n", dir, plural(len(rec.Specimens()), "specimen"), plural(len(out.Record.Events()), "event"))
	return nil
}
