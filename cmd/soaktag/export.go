package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/plan"
	"soaktag/tracker/store"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// exportCommand writes the study as plain tables for other programs.
func (s *session) exportCommand() *cli.Command {
	return &cli.Command{
		Name:      "export",
		Usage:     "write everything as plain tables, with the plan and the whole log",
		ArgsUsage: "DIR",
		Flags: []cli.Flag{studyFlag(), asOfFlag(),
			&cli.BoolFlag{Name: "salvage", Usage: "of a damaged study, write all that can still be read"}},
		Action: s.export,
	}
}

func (s *session) export(c *cli.Context) error {
	dir, err := oneArgument(c, "the folder to write")
	if err != nil {
		return err
	}
	if c.Bool("salvage") {
		return s.salvage(c, dir)
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

// salvage writes what can still be read of a damaged study, and says what is missing.
func (s *session) salvage(c *cli.Context, dir string) error {
	path, err := studyPath(c)
	if err != nil {
		return err
	}
	left, err := store.OpenSalvage(path)
	if err != nil {
		return err
	}
	defer left.Close()
	events := intake.Saved(left, s.now())
	log := func(w io.Writer) (string, int64, error) { return store.WriteEvents(w, events) }
	rec, err := tables.WriteSalvage(dir, events, plan.Read, s.now(), log, left.EachPhoto)
	if err != nil {
		return err
	}
	s.print("%s  %s saved\n", dir, wording.Plural(len(left.Events), "event"))
	for _, line := range wording.Gaps(rec) {
		s.warn("%s", line)
	}
	if rec.Study() == nil {
		return withHint(fmt.Errorf("the event that began the study is lost, so %s holds the log alone", dir), "restore the last backup, and soaktag import %s takes in what was recorded since", wording.ShellWord(filepath.Join(dir, logName)))
	}
	s.hint("to go on from there: soaktag restore %s --study NEW.soaktag", wording.ShellWord(dir))
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
