package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// importCommand takes a table of events: everything or nothing.
func (s *session) importCommand() *cli.Command {
	return &cli.Command{
		Name:      "import",
		Usage:     "record a table of events, all of it or none",
		ArgsUsage: "FILE.csv",
		Description: "Columns: specimen, stage, at; see the manual for the others. Every problem is reported\n" +
			"with its line. The same file twice adds nothing.",
		Flags:  entryFlags(),
		Action: func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.importFile(c) }) },
	}
}

func (b *book) importFile(c *cli.Context) error {
	name, err := oneArgument(c, "one FILE.csv")
	if err != nil {
		return err
	}
	events, err := b.readTable(name)
	if err != nil {
		return err
	}
	if len(events) == 0 {
		b.warn("%s holds no events; nothing recorded", name)
		return nil
	}
	asked, known := openMarks(b.rec), b.knownOf(events)
	if _, err := b.db.Record(events...); err != nil {
		return err
	}
	b.print("imported  %s from %s\n", wording.Counted(len(events)-known, "event", "events"), name)
	if known > 0 {
		b.say("%s known already and not added again", wording.Counted(known, "event was", "events were"))
	}
	return b.sayAsks(asked)
}

// readTable reads the events of a table and warns of what it passed over.
func (b *book) readTable(name string) ([]tracker.Event, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, refused(err)
	}
	defer file.Close()
	text := bufio.NewReader(file)
	if exported(text) {
		return nil, usageError("%s was written by soaktag export, to be read elsewhere; soaktag restore %s --study NEW.soaktag makes the study again from the log beside it; nothing recorded",
			name, shellWord(filepath.Dir(name)))
	}
	events, warnings, err := tables.ReadEvents(name, text, b.rec, b.entry.Recorded)
	for _, w := range warnings { // also beside errors: a mistyped column may be their cause
		b.warn("%s", w)
	}
	if err != nil {
		return nil, withHint(refused(err), "nothing was recorded; put the lines right and import the whole file again")
	}
	b.complete(events)
	return events, nil
}

// exported reports whether a table is the list of events that export writes,
// by columns that nobody types. It takes nothing from the text.
func exported(text *bufio.Reader) bool {
	start, _ := text.Peek(2048) // shorter where the file is
	header, _, _ := strings.Cut(string(start), "\n")
	columns := strings.FieldsFunc(header, func(c rune) bool { return strings.ContainsRune(",;\t\r\"\ufeff", c) })
	for _, own := range []string{"event", "kind", "corrected_at", "device_clock", "voided"} {
		if !slices.Contains(columns, own) {
			return false
		}
	}
	return true
}

// complete adds what the flags say where the table says nothing.
func (b *book) complete(events []tracker.Event) {
	for i := range events {
		e := &events[i]
		e.By, e.Note = orUnknown(e.By, b.entry.By), orUnknown(e.Note, b.entry.Note)
		if e.Recorded.IsZero() {
			e.Recorded = b.entry.Recorded
		}
		if e.Via == "" {
			e.Via = "import"
		}
	}
}

// knownOf counts the events that the record has already, or twice in the file.
func (b *book) knownOf(events []tracker.Event) int {
	known, seen := 0, map[string]bool{}
	for _, e := range events {
		if _, ok := b.rec.Event(e.ID); ok || seen[e.ID] {
			known++
		}
		seen[e.ID] = true
	}
	return known
}

func openMarks(rec *tracker.Record) int {
	n := 0
	for _, m := range rec.Marks() {
		if m.Open() {
			n++
		}
	}
	return n
}

// sayAsks says how much asks since the import.
func (b *book) sayAsks(before int) error {
	rec, err := b.db.State()
	if err != nil {
		return fmt.Errorf("recorded, but not read back: %w", err)
	}
	if n := openMarks(rec); n > 0 {
		b.say("%s in the study, %s before: soaktag status lists them", wording.Counted(n, "mark asks", "marks ask"), fmt.Sprint(before))
	}
	return nil
}
