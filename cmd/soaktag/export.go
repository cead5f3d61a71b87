package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// exportCommand writes the study as plain tables for other programs.
func (s *session) exportCommand() *cli.Command {
	return &cli.Command{
		Name:      "export",
		Usage:     "write everything as plain tables, with the plan and the whole log",
		ArgsUsage: "DIR",
		Flags:     []cli.Flag{studyFlag(), asOfFlag()},
		Action:    s.export,
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
	photos := 0
	out := tables.Export{Record: rec, Now: now, Plan: rec.Study().Text, Log: db.WriteLog, Photos: counting(db.EachPhoto, &photos)}
	if c.IsSet("as-of") {
		out.Record = rec.AsOf(now)
	}
	if err := tables.WriteDir(dir, out); err != nil {
		return err
	}
	s.print("%s  %s, %s%s\n", dir, wording.Plural(len(rec.Specimens()), "specimen"), wording.Plural(len(out.Record.Events()), "event"), andPhotos(photos))
	return nil
}

// counting is a writer of photographs that counts them.
func counting(all tables.PhotoWriter, n *int) tables.PhotoWriter {
	return func(write func(sum, mediaType string, photo []byte) error) error {
		return all(func(sum, mediaType string, photo []byte) error {
			*n++
			return write(sum, mediaType, photo)
		})
	}
}

func andPhotos(n int) string {
	if n == 0 {
		return ""
	}
	return ", " + wording.Plural(n, "photograph")
}
