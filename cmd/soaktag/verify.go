package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker/intake"
	"soaktag/tracker/store"
	"soaktag/tracker/wording"
)

// verifyCommand checks a study file from end to end.
func (s *session) verifyCommand() *cli.Command {
	return &cli.Command{
		Name:      "verify",
		Usage:     "check a study or a backup: every event, the chain over them, the file itself",
		ArgsUsage: "[FILE]",
		Flags: []cli.Flag{studyFlag(), jsonFlag(),
			&cli.StringFlag{Name: "against", Usage: "and that it goes on from where it stood when this `HEAD` was printed on a report, a worksheet or by backup"}},
		Action: s.verify,
	}
}

type verifyDoc struct {
	Events   int64    `json:"events"`
	Head     string   `json:"head"`
	OK       bool     `json:"ok"`
	Problems []string `json:"problems"`
	Journal  int64    `json:"in_journal,omitempty"` // events that are still beside the file
	Against  int64    `json:"against,omitempty"`    // the event that has the head asked for
}

func (s *session) verify(c *cli.Context) error {
	path, err := verifyPath(c)
	if err != nil {
		return err
	}
	against := strings.ToLower(c.String("against"))
	if c.IsSet("against") && !isHead(against) {
		return usageError("--against wants a head as it is printed, 8 to 64 digits and letters a to f, such as 7e41f6356e746950, not %s", intake.Quoted(against))
	}
	report := store.Verify(path)
	if report.Unread != nil {
		return report.Unread // not read is not damaged
	}
	doc := verifyDoc{Events: report.Events, Head: report.Head, OK: len(report.Problems) == 0,
		Problems: append([]string{}, report.Problems...), Journal: report.Journal}
	if against != "" {
		if doc.Against = report.At(against); doc.Against == 0 {
			doc.OK, doc.Problems = false, append(doc.Problems, wording.NeverStood(against))
		}
	}
	if err := s.sayVerified(c, path, doc); err != nil {
		return err
	}
	if doc.OK {
		return nil
	}
	return withHint(fmt.Errorf("%s is damaged: %s", path, wording.Plural(len(doc.Problems), "problem")),
		"keep this file as it is and go on from a copy: soaktag restore BACKUP --study NEW.soaktag")
}

// isHead reports whether somebody can have typed it from what is printed.
func isHead(text string) bool {
	return len(text) >= 8 && len(text) <= 64 && strings.Trim(text, "0123456789abcdef") == ""
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

// sayMoving says what is not in the file itself yet.
func (s *session) sayMoving(file string, events int64) {
	if events > 0 {
		s.print("%s\n", wording.InJournal(file, events))
	}
}

func (s *session) sayVerified(c *cli.Context, path string, doc verifyDoc) error {
	if c.Bool("json") {
		return s.json(c, "verify/1", doc)
	}
	if doc.OK {
		s.print("%s  good: %s, head %s\n", path, wording.Plural(int(doc.Events), "event"), wording.ShortHead(doc.Head))
		if doc.Against > 0 {
			s.print("%s\n", wording.StoodThen(wording.ShortHead(strings.ToLower(c.String("against"))), doc.Against, doc.Events))
		}
		s.sayMoving(path, doc.Journal)
		return nil
	}
	for _, problem := range doc.Problems {
		s.print("%s  %s\n", path, problem)
	}
	return nil
}
