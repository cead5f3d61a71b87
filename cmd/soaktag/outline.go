package main

import (
	_ "embed"
	"io"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/schedule"
)

// outlinePlan is a starter plan, made up, with a comment on every line that
// needs one.
//
//go:embed outline.toml
var outlinePlan string

func (s *session) outlineCommand() *cli.Command {
	return &cli.Command{
		Name:        "outline",
		Usage:       "write a starter plan with comments, to be changed",
		ArgsUsage:   "FILE.toml",
		Description: string(screen.Fold(screen.Width, scheduleNames(), "")),
		Action:      s.outline,
	}
}

func scheduleNames() (names []string) {
	for _, p := range schedule.Protocols() {
		names = append(names, p.Name)
	}
	return names
}

func (s *session) outline(c *cli.Context) error {
	path, err := oneFile(c, "FILE.toml")
	if err != nil {
		return err
	}
	err = writeNew(path, func(w io.Writer) error {
		_, err := io.WriteString(w, outlinePlan)
		return err
	})
	if err != nil {
		return err
	}
	s.say("wrote %s", path)
	s.hint("change it to what you mean to do, then soaktag check %s", path)
	return nil
}

// oneFile returns the only argument, a file.
func oneFile(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 || c.Args().First() == "" {
		return "", usageError("%s takes one %s, not %d arguments", c.Command.Name, what, c.NArg())
	}
	return c.Args().First(), nil
}
