package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/urfave/cli/v2"

	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/store"
	"soaktag/tracker/wording"
)

// A book is an open study that is written in: the store, its record, and what
// the entry flags say.
type book struct {
	*session
	db    *store.DB
	rec   *tracker.Record
	entry entry
	desk  *intake.Desk

	echoed map[string]bool // texts that were said to be read as a code
	wet    bool            // an immersion was met: whether its labels were ever tried is asked once
	lifted bool            // a lift-out was met: whether its rig was ever tried is asked once
}

// An entry makes events of what the flags say.
type entry struct{ intake.Entry }

// event returns an event of that kind filled in with what the entry says and
// an id of its own.
func (e entry) event(kind tracker.Kind) tracker.Event {
	return tracker.Event{
		ID: uuid.NewString(), Kind: kind,
		At: e.At, Doubt: e.Doubt, Recorded: e.Recorded,
		By: e.By, Note: e.Note, Reason: e.Reason, Via: "typed",
		Count: e.Recorded.UnixMicro(), // of two entries for one minute, the one typed later is the later
	}
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
	return do(&book{session: s, db: db, rec: rec, entry: entry{e}, desk: desk})
}

// amending is write for commands that end with status 0 although something
// asks: it asks already, or status will say so.
func (s *session) amending(c *cli.Context, do func(*book) error) error {
	err := s.write(c, do)
	s.attention = false
	return err
}

func (b *book) zone() *time.Location { return zoneOf(b.rec) }

// keep commits events together, says what was recorded, and asks about what
// looks wrong.
func (b *book) keep(events ...tracker.Event) error {
	b.beforeWater(events)
	verdicts, err := b.db.Record(events...)
	if err != nil {
		return meanwhile(err)
	}
	for _, v := range verdicts {
		b.print("%s\n", wording.Recorded(v, b.zone()))
	}
	if err := b.sayTrials(events); err != nil {
		return err
	}
	return b.answer(b.sayMarks(verdicts))
}

// sayMarks prints the marks that events brought and returns those that ask.
func (b *book) sayMarks(verdicts []tracker.Verdict) []tracker.Mark {
	var asking []tracker.Mark
	for _, v := range verdicts {
		for _, m := range v.Marks {
			b.say("%s", wording.Mark(m))
			if m.Open() {
				asking = append(asking, m)
			}
		}
	}
	return asking
}

// answer accepts marks that ask at once, with --yes and --reason or with the
// reason given at the terminal. Otherwise they stay open, and the run ends
// with status 3.
func (b *book) answer(asking []tracker.Mark) error {
	if len(asking) == 0 {
		return nil
	}
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

func orUnknown(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// logCommand records by hand that specimens went through a stage, were lost,
// damaged, found or withdrawn, or what a device's clock showed.
func (s *session) logCommand() *cli.Command {
	return &cli.Command{
		Name:      "log",
		Usage:     "record that specimens went through a stage, now or at another time",
		ArgsUsage: "SUBJECT... --stage STAGE",
		Description: "SUBJECT is a code, a bare serial, your own name for the specimen, a bath, or\n" +
			"trial: all trial labels; trial 3 5: those numbers of them.\n" +
			"STAGE is a stage of the plan, or damaged, lost, found, withdrawn.\n" +
			"A time not known exactly is a range: --at \"09:30..10:15\".\n" +
			"--stage clock --device NAME --shown TIME keeps what a device's clock showed.\n" +
			"Without --stage a --note is kept as a remark.",
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
	case c.Bool("device-time") && c.String("device") == "":
		return usageError("--device-time wants --device NAME, the device that showed --at")
	case word == "" && c.String("note") == "":
		return usageError("log wants --stage STAGE, or --note TEXT for a remark")
	}
	return b.take(intake.Stage{Subjects: c.Args().Slice(), Name: word, Device: c.String("device"), DeviceTime: c.Bool("device-time")})
}

// subjects reads all of the words or, as they were typed and can be typed
// again, none.
func (b *book) subjects(words []string) ([]subject, error) {
	var all []subject
	var echoes []string
	for _, word := range words {
		sub, err := readSubject(b.rec, word)
		if err != nil {
			return nil, b.notTaken(err)
		}
		if echo := b.echoOnce(sub); echo != "" {
			echoes = append(echoes, echo)
		}
		all = append(all, sub)
	}
	if len(echoes) > 0 {
		b.say("%s", strings.Join(echoes, ", "))
	}
	return all, nil
}

// echoOnce says how a text that is no full code was understood, the first time
// that a command meets it.
func (b *book) echoOnce(sub subject) string {
	if sub.echo == "" || b.echoed[sub.text] {
		return ""
	}
	if b.echoed == nil {
		b.echoed = map[string]bool{}
	}
	b.echoed[sub.text] = true
	return sub.echo
}

// notTaken makes a *notRead an error of status 2 with its hint.
func (b *book) notTaken(err error) error {
	if unread, ok := err.(*notRead); ok {
		return refused(withHint(fmt.Errorf("%s; nothing recorded", unread.why), "%s", unread.hint))
	}
	return refused(err)
}

func parseEnding(word string) (tracker.Ending, bool) {
	end := tracker.Ending(word)
	ok := slices.Contains([]tracker.Ending{tracker.Lost, tracker.Found, tracker.Damaged, tracker.Withdrawn}, end)
	return end, ok
}

// specimen reads a word that must mean a specimen, not a bath.
func (b *book) specimen(word string) (subject, error) {
	subjects, err := b.subjects([]string{word})
	if err != nil {
		return subject{}, err
	}
	if subjects[0].bath != "" {
		return subject{}, usageError("%q is a bath; name one specimen", word)
	}
	return subjects[0], nil
}
