package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/plan"
	"soaktag/tracker/store"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// restoreCommand makes a study of a backup or of an export.
func (s *session) restoreCommand() *cli.Command {
	return &cli.Command{
		Name:      "restore",
		Usage:     "make a new study file from a backup, or from the folder that export wrote",
		ArgsUsage: "FILE|DIR --study NEW.soaktag",
		Flags:     []cli.Flag{studyFlag()},
		Action:    s.restore,
	}
}

func (s *session) restore(c *cli.Context) error {
	from, err := oneArgument(c, "a backup file or an export folder")
	if err != nil {
		return err
	}
	to := c.String("study")
	if to == "" {
		return usageError("restore needs the name of the new study: soaktag restore %s --study NEW.soaktag", wording.ShellWord(from))
	}
	if err := mustBeNew(to); err != nil {
		return err
	}
	if err := s.making(to, func() error { return s.restoreTo(from, to) }); err != nil {
		return err
	}
	return s.sayRestored(to)
}

// restoreTo takes the way that what lies at from asks for.
func (s *session) restoreTo(from, to string) error {
	if info, err := os.Stat(from); err == nil && info.IsDir() {
		return s.restoreLog(filepath.Join(from, logName), to)
	}
	f, err := openNamed(from, "soaktag backup FILE makes a copy, soaktag export DIR a folder to restore from")
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if filepath.Ext(from) == filepath.Ext(logName) {
		return s.restoreLog(from, to)
	}
	return store.Restore(from, to, plan.Read)
}

// logName is the file of an export that holds every event.
const logName = "log.jsonl"

// restoreLog makes a study of a log in words. The description beside it says how
// long the log was.
func (s *session) restoreLog(from, to string) (err error) {
	f, err := os.Open(from)
	if err != nil {
		return usageError("%s has no %s that can be read, so it is no folder that soaktag export wrote", filepath.Dir(from), logName)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	head, events, err := tables.LogEnd(filepath.Dir(from))
	if err != nil {
		return err
	}
	if events == 0 {
		s.warn("no datapackage.json beside %s says how many events it had: lines missing at its end cannot be seen", from)
	}
	return store.RestoreLog(f, to, plan.Read, photosIn(filepath.Dir(from)), head, events)
}

// photosIn reads the photographs that an export has beside its log.
func photosIn(dir string) store.PhotoReader {
	return func(sum, mediaType string) ([]byte, error) { return tables.ReadPhoto(dir, sum, mediaType) }
}

func (s *session) sayRestored(path string) error {
	report := store.Verify(path)
	if len(report.Problems) > 0 {
		return fmt.Errorf("%s was restored but does not verify: %s", path, report.Problems[0])
	}
	s.print("%s  %s, head %s\n", path, wording.Plural(int(report.Events), "event"), wording.ShortHead(report.Head))
	return nil
}
