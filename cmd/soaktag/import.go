package main

import (
	"bufio"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// importCommand takes a table of events: everything or nothing.
func (s *session) importCommand() *cli.Command {
	return &cli.Command{
		Name:        "import",
		Usage:       "record a table of events, all of it or none",
		ArgsUsage:   "FILE.csv",
		Description: columnHelp(tables.EventColumns()),
		Flags:       append(entryFlags(), &cli.BoolFlag{Name: "dry-run", Usage: "say what would come of it, and record nothing"}),
		Action:      func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.importFile(c) }) },
	}
}

// columnHelp lists the columns of a table, each with an example, behind the text
// of the command.
func columnHelp(columns []tables.Column) string {
	t := screen.NewTable("column", "example", "what stands in it")
	for _, c := range columns {
		t.Row(c.Name+map[bool]string{true: " *"}[c.Required], c.Example, c.About)
	}
	return "\nColumns, in any order, those with * in every file:\n" + t.String()
}

func (b *book) importFile(c *cli.Context) error {
	name, err := oneArgument(c, "one FILE.csv")
	if err != nil {
		return err
	}
	if filepath.Base(name) == logName {
		return b.take(intake.Merge{Name: name, Photos: photosIn(filepath.Dir(name)), Dry: c.Bool("dry-run"), Progress: b.progress("event")})
	}
	if b.desk.IsNotebook(name) {
		return b.take(intake.Merge{Name: name, Dry: c.Bool("dry-run"), Progress: b.progress("event")})
	}
	file, err := openTable(name)
	if err != nil {
		return err
	}
	defer file.Close()
	text, dry := bufio.NewReader(file), c.Bool("dry-run")
	if intake.IsUnsent(text) {
		unsent, err := intake.ReadUnsent(name, text, dry)
		if err != nil {
			return refused(err)
		}
		return b.take(unsent)
	}
	progress := b.progress("event")
	events, err := b.readEvents(name, text)
	if err != nil {
		return err
	}
	return b.take(intake.Rows{Name: name, Events: events, Dry: dry, Progress: progress})
}

func openTable(name string) (*os.File, error) {
	return openNamed(name, "soaktag import --help lists the columns of such a table")
}

// readTable reads the events of a table.
func (b *book) readTable(name string) ([]tracker.Event, error) {
	file, err := openTable(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return b.readEvents(name, bufio.NewReader(file))
}

// readEvents reads the events of an open table and warns of what it passed over.
func (b *book) readEvents(name string, text *bufio.Reader) ([]tracker.Event, error) {
	if tables.IsExport(text) {
		return nil, usageError("%s was written by soaktag export, to be read elsewhere; soaktag restore %s --study NEW.soaktag makes the study again from the log beside it; nothing recorded",
			name, wording.ShellWord(filepath.Dir(name)))
	}
	events, warnings, err := tables.ReadEvents(name, text, b.desk.Record(), b.desk.Recorded)
	for _, w := range warnings { // also beside errors: a mistyped column may be their cause
		b.warn("%s", w)
	}
	if err != nil {
		return nil, withHint(refused(err), "nothing was recorded; put the lines right and import the whole file again")
	}
	return events, nil
}
