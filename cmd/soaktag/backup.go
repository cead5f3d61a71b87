package main

import (
	"os"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/wording"
)

// backupCommand makes a safe copy of the study while it is in use.
func (s *session) backupCommand() *cli.Command {
	return &cli.Command{
		Name:      "backup",
		Usage:     "copy the study to a new file, checked before it gets its name",
		ArgsUsage: "FILE",
		Flags:     []cli.Flag{studyFlag(), replaceFlag()},
		Action:    s.backup,
	}
}

func (s *session) backup(c *cli.Context) error {
	to, err := oneArgument(c, "the name of the copy")
	if err != nil {
		return err
	}
	again, err := backsUpAgain(c, to)
	if err != nil {
		return err
	}
	db, _, err := s.openToRead(c)
	if err != nil {
		return err
	}
	defer db.Close()
	copyTo := db.Backup
	if again {
		copyTo = db.BackupAgain
	}
	if err := s.making(to, func() error { return copyTo(to) }); err != nil {
		return err
	}
	head, events, err := db.Head()
	if err != nil {
		return err
	}
	s.print("%s  %s, head %s\n", to, wording.Plural(int(events), "event"), wording.ShortHead(head))
	s.hint("to go back to it: soaktag restore %s --study NEW.soaktag", wording.ShellWord(to))
	return nil
}

// backsUpAgain reports whether the copy is to take the place of an older one.
func backsUpAgain(c *cli.Context, to string) (bool, error) {
	if _, err := os.Lstat(to); err != nil {
		return false, mustBeNew(to)
	}
	if !c.Bool("replace") {
		return false, usageError("%s is there already: add --replace to put this copy in place of an older one of this study, or name another file", to)
	}
	return true, nil
}
