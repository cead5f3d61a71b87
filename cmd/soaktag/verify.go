package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/store"
	"soaktag/tracker/wording"
)

// verifyCommand checks a study file from end to end.
func (s *session) verifyCommand() *cli.Command {
	return &cli.Command{
		Name:      "verify",
		Usage:     "check a study or a backup: every event, the chain over them, the file itself",
		ArgsUsage: "[FILE]",
		Flags:     []cli.Flag{studyFlag(), jsonFlag()},
		Action:    s.verify,
	}
}

type verifyDoc struct {
	Events   int64    `json:"events"`
	Head     string   `json:"head"`
	OK       bool     `json:"ok"`
	Problems []string `json:"problems"`
}

func (s *session) verify(c *cli.Context) error {
	path, err := verifyPath(c)
	if err != nil {
		return err
	}
	report := store.Verify(path)
	if report.Unread != nil {
		return report.Unread // not read is not damaged
	}
	doc := verifyDoc{Events: report.Events, Head: report.Head, OK: len(report.Problems) == 0,
		Problems: append([]string{}, report.Problems...)}
	if err := s.sayVerified(c, path, doc); err != nil {
		return err
	}
	if doc.OK {
		return nil
	}
	return withHint(fmt.Errorf("%s is damaged: %s", path, wording.Plural(len(doc.Problems), "problem")),
		"keep this file as it is and go on from a copy: soaktag restore BACKUP --study NEW.soaktag")
}

func verifyPath(c *cli.Context) (string, error) {
	if c.NArg() == 0 {
		return studyPath(c)
	}
	path, err := oneArgument(c, "one file")
	if err != nil {
		return "", err
	}
	return existing(path, "the command line")
}

func (s *session) sayVerified(c *cli.Context, path string, doc verifyDoc) error {
	if c.Bool("json") {
		return s.json(c, "verify/1", doc)
	}
	if doc.OK {
		s.print("%s  good: %s, head %s\n", path, wording.Plural(int(doc.Events), "event"), shortHead(doc.Head))
		return nil
	}
	for _, problem := range doc.Problems {
		s.print("%s  %s\n", path, problem)
	}
	return nil
}
