package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// entryFlags are the flags of every recording command.
func entryFlags() []cli.Flag {
	return []cli.Flag{
		studyFlag(),
		&cli.StringFlag{Name: "at", Usage: "when it happened: `TIME` such as 18:10, 6:10 pm, -2h30m, \"fri 18:10\", a day alone or a range A..B (default now)"},
		&cli.StringFlag{Name: "by", Usage: "`WHO` did it (else by = \"...\" under [study] in the plan)"},
		&cli.StringFlag{Name: "note", Usage: "a `REMARK` to keep with it"},
		&cli.StringFlag{Name: "reason", Usage: "`WHY`, where something looks wrong"},
		&cli.BoolFlag{Name: "yes", Usage: "do not ask, take every doubtful entry as meant"},
	}
}

// entry reads the entry flags. A time that was typed is echoed as the instant
// it was taken for; a doubtful one is asked about on a terminal and otherwise
// recorded with a warning.
func (s *session) entry(c *cli.Context, rec *tracker.Record) (intake.Entry, error) {
	e := intake.Now(s.now())
	e.By, e.Note, e.Reason, e.Yes = whoRecords(c, rec.Study()), c.String("note"), c.String("reason"), c.Bool("yes")
	if !c.IsSet("at") {
		return e, nil
	}
	text, err := timeGiven(c, "at")
	if err != nil {
		return e, err
	}
	span, doubts, err := schedule.ParseTime(text, e.Recorded, rec.Zone())
	if err != nil {
		return e, refused(fmt.Errorf("--at: %w", err))
	}
	if c.Bool("device-time") { // of a clock that may be fast: once it is corrected the record asks by itself
		doubts = slices.DeleteFunc(doubts, func(d schedule.Doubt) bool { return d == schedule.Future })
	}
	e.At, e.Timed, e.Doubt = span, true, schedule.InDoubt(doubts)
	s.say("at %s", wording.Span(span, rec.Zone()))
	for _, d := range doubts {
		if may := wording.UndoubtedEntry(span, d, rec.Zone()); may != "" {
			s.hint("%s", may)
		}
	}
	return e, s.settle(text, doubts, e.Yes)
}

// whoRecords is --by, else whom the plan names.
func whoRecords(c *cli.Context, study *tracker.Study) string {
	if c.IsSet("by") {
		return c.String("by")
	}
	return study.By
}

// timeGiven returns the text of a flag that was given. An empty one is most
// likely a variable that a script left unset, and never means now.
func timeGiven(c *cli.Context, flag string) (string, error) {
	text := c.String(flag)
	if strings.TrimSpace(text) == "" {
		return "", usageError("--%s is empty: give a time such as 18:10 or \"now\", or leave the flag out", flag)
	}
	return text, nil
}

// settle asks about the doubts of a typed time. Nobody to ask: it stands, and
// the run needs attention.
func (s *session) settle(text string, doubts []schedule.Doubt, yes bool) error {
	for _, d := range doubts {
		if yes {
			continue
		}
		if !s.terminal {
			s.warn("time %q %s", text, wording.Doubt(d))
			s.attention = true
			continue
		}
		answer, err := s.ask(fmt.Sprintf("time %q %s; record it all the same? [y/N]", text, wording.Doubt(d)))
		if err != nil {
			return err
		}
		if !isYes(answer) {
			return usageError("not recorded: give another time with --at")
		}
	}
	return nil
}

func isYes(answer string) bool {
	a := strings.ToLower(answer)
	return a == "y" || a == "yes"
}
