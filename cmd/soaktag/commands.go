package main

import "github.com/urfave/cli/v2"

// commands lists every command, in the order in which a study needs them.
func (s *session) commands() []*cli.Command {
	return []*cli.Command{
		// plan
		s.demoCommand(),
		s.outlineCommand(),
		s.checkCommand(),
		s.beginCommand(),
		s.labelsCommand(),
		s.worksheetCommand(),
		// record
		s.clockCommand(),
		s.scanCommand(),
		s.readCommand(),
		s.logCommand(),
		s.measureCommand(),
		s.breakCommand(),
		s.facesCommand(),
		s.amendCommand(),
		s.acceptCommand(),
		// ask
		s.statusCommand(),
		s.dueCommand(),
		s.nextCommand(),
		s.historyCommand(),
		s.driftCommand(),
		s.resultsCommand(),
		// tell
		s.reportCommand(),
		s.calendarCommand(),
		s.exportCommand(),
		s.importCommand(),
		s.stationCommand(),
		// keep
		s.backupCommand(),
		s.restoreCommand(),
		s.verifyCommand(),
	}
}
