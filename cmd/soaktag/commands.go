package main

import "github.com/urfave/cli/v2"

// commands lists every command, in the order in which a study needs them.
func (s *session) commands() []*cli.Command {
	return []*cli.Command{
		s.outlineCommand(),
		s.checkCommand(),
		s.beginCommand(),
		s.labelsCommand(),
		s.worksheetCommand(),
	}
}
