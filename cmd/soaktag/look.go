package main

import (
	"strconv"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/wording"
)

// A view is the record as a reading command sees it: at one moment, which is
// now unless --as-of says otherwise.
type view struct {
	rec    *tracker.Record
	now    time.Time
	file   string
	events int64  // events that the record at that moment holds
	whole  int64  // events of the whole log
	past   bool   // the moment was asked for
	head   string // of the whole log
}

func (v view) zone() *time.Location { return v.rec.Study().Zone }

// lookFlags are the flags of every reading command.
func lookFlags(more ...cli.Flag) []cli.Flag {
	return append([]cli.Flag{
		studyFlag(), asOfFlag(), jsonFlag(),
	}, more...)
}

// look opens the study, takes the record at the moment asked for, and closes
// the file again: a reading command holds no lock while it prints.
func (s *session) look(c *cli.Context) (view, error) {
	db, rec, err := s.openToRead(c)
	if err != nil {
		return view{}, err
	}
	defer db.Close()
	head, events, err := db.Head()
	if err != nil {
		return view{}, err
	}
	now, err := s.asOf(c, rec)
	if err != nil {
		return view{}, err
	}
	v := view{rec: rec, now: now, file: s.file, events: events, whole: events, head: head}
	if v.past = c.IsSet("as-of"); v.past {
		v.rec = rec.AsOf(now)
		v.events = int64(len(v.rec.Events()))
	}
	return v, nil
}

// noArguments refuses words that the command would otherwise ignore.
func noArguments(c *cli.Context) error {
	if c.NArg() > 0 {
		return usageError("%s takes no argument, got %q", c.Command.Name, c.Args().First())
	}
	return nil
}

// oneArgument is the only word after the command, described by what.
func oneArgument(c *cli.Context, what string) (string, error) {
	if c.NArg() != 1 {
		return "", usageError("%s wants %s, got %s", c.Command.Name, what, wording.Plural(c.NArg(), "word"))
	}
	return c.Args().First(), nil
}

// orNull is nil for a text that is not there.
func orNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

// timeOrNull writes an instant for a script, in the study's zone; nil for none.
func timeOrNull(t time.Time, zone *time.Location) *string {
	if t.IsZero() {
		return nil
	}
	return orNull(t.In(zone).Format(time.RFC3339))
}

func count(n int) string { return strconv.Itoa(n) }
