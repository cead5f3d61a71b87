package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// A book is an open study that is written in.
type book struct {
	*session
	desk *intake.Desk
}

// write opens the study, reads the entry flags and lets do record something.
func (s *session) write(c *cli.Context, do func(*book) error) error {
	db, rec, err := s.open(c)
	if err != nil {
		return err
	}
	defer db.Close()
	e, err := s.entry(c, rec)
	if err != nil {
		return err
	}
	desk, err := intake.Open(db, e, s.now)
	if err != nil {
		return err
	}
	return do(&book{s, desk})
}

// amending is write for commands that end with status 0 although something
// asks: it asks already, or status will say so.
func (s *session) amending(c *cli.Context, do func(*book) error) error {
	err := s.write(c, do)
	s.attention = false
	return err
}

func (b *book) zone() *time.Location { return b.desk.Zone() }

// answer accepts marks that ask at once, with --yes and --reason or with the
// reason given at the terminal. Otherwise they stay open, and the run ends
// with status 3.
func (b *book) answer(asking []tracker.Mark) error {
	if len(asking) == 0 {
		return nil
	}
	b.tell(b.desk.Stakes(asking, b.terminal))
	reason, err := b.reasonFor(asking)
	if err != nil {
		return err
	}
	if reason == "" {
		b.attention = true
		b.hint("kept, and asks: put it right with soaktag amend, or %s", wording.AcceptCommand(asking))
		return nil
	}
	out, err := b.desk.Accept(asking, reason)
	b.tell(out)
	return err
}

func (b *book) reasonFor(asking []tracker.Mark) (string, error) {
	if b.desk.Yes {
		return b.desk.Reason, nil
	}
	return b.ask(fmt.Sprintf("%s: why does it stand? (Enter leaves it open)", wording.Counted(len(asking), "mark asks", "marks ask")))
}

// logCommand records by hand that specimens went through a stage, were lost,
// damaged, found or withdrawn, or what a device's clock showed.
func (s *session) logCommand() *cli.Command {
	return &cli.Command{
		Name:      "log",
		Usage:     "record that specimens went through a stage, now or at another time",
		ArgsUsage: "SUBJECT... --stage STAGE",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "stage", Usage: "the `STAGE` gone through"},
			&cli.StringFlag{Name: "device", Usage: "the `DEVICE` whose clock is meant"},
			&cli.BoolFlag{Name: "device-time", Usage: "--at is what that device's clock showed"},
			&cli.StringFlag{Name: "shown", Usage: "with --stage clock: the `TIME` that the device showed"},
		),
		Action: func(c *cli.Context) error { return s.write(c, func(b *book) error { return b.log(c) }) },
	}
}

func (b *book) log(c *cli.Context) error {
	word := strings.ToLower(strings.TrimSpace(c.String("stage")))
	switch {
	case word == "clock":
		return b.logClock(c)
	case c.NArg() == 0:
		return usageError("log wants a code, name or bath; for example soaktag log HBR-017-J --stage lift-out")
	}
	form := intake.Stage{Subjects: c.Args().Slice(), Name: word, Device: c.String("device"), DeviceTime: c.Bool("device-time")}
	if b.desk.MayMeanLabel(form) && !b.desk.Yes {
		answer, err := b.ask(wording.LostWhat)
		if err != nil {
			return err
		}
		form.Label = strings.HasPrefix(strings.ToLower(answer), "l")
	}
	return b.take(form)
}
