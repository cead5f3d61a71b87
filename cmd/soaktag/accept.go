package main

import (
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/labels"
	"soaktag/tracker"
	"soaktag/tracker/intake"
	"soaktag/tracker/wording"
)

// acceptCommand lets marks stand, with a reason.
func (s *session) acceptCommand() *cli.Command {
	return &cli.Command{
		Name:      "accept",
		Usage:     "let marks that ask stand, with a reason",
		ArgsUsage: "[CODE|EVENT]",
		Description: "Without CODE or EVENT it takes the marks of a --rule, or --all. An accepted mark no\n" +
			"longer asks; it and the reason stay on record and are shown beside the results.",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "rule", Usage: "only marks of this `RULE`, such as \"too early\""},
			&cli.BoolFlag{Name: "all", Usage: "every mark that asks"}),
		Action: func(c *cli.Context) error { return s.amending(c, func(b *book) error { return b.acceptMarks(c) }) },
	}
}

func (b *book) acceptMarks(c *cli.Context) error {
	word := c.Args().First()
	switch {
	case b.entry.Reason == "":
		return usageError("accept wants a reason that stays on record: add --reason \"why\"")
	case c.NArg() > 1:
		return usageError("accept takes one code or event, got %s", wording.Plural(c.NArg(), "word"))
	case word == "" && c.String("rule") == "" && !c.Bool("all"):
		return usageError("accept what? name a code or an event, a --rule, or --all; soaktag status lists what asks")
	}
	marks, err := b.chosen(word, c.String("rule"))
	if err != nil {
		return err
	}
	if len(marks) == 0 {
		b.say("nothing asks there; nothing recorded")
		return nil
	}
	if err := b.accept(marks, b.entry.Reason); err != nil {
		return err
	}
	for _, m := range marks {
		b.print("accepted  %s\n", strings.TrimPrefix(wording.Mark(m), "asks: "))
	}
	return nil
}

// chosen lists the marks that ask, of one code or event and of one rule.
func (b *book) chosen(word, rule string) ([]tracker.Mark, error) {
	means := func(tracker.Mark) bool { return true }
	if word != "" {
		var err error
		if means, err = b.markMeant(word); err != nil {
			return nil, err
		}
	}
	var marks []tracker.Mark
	for _, m := range b.rec.Marks() {
		if m.Open() && means(m) && (rule == "" || m.Rule.Is(rule)) {
			marks = append(marks, m)
		}
	}
	return marks, nil
}

// markMeant tells the marks of a code as the record knows it, of a code that
// nobody knows, or of an event.
func (b *book) markMeant(word string) (func(tracker.Mark) bool, error) {
	if sp, _, err := b.rec.Resolve(word); err == nil {
		code := sp.Code.Whole().String()
		return func(m tracker.Mark) bool { return m.Code == code }, nil
	}
	if code, err := labels.Parse(word); err == nil {
		return func(m tracker.Mark) bool { return m.Code == code.Whole().String() }, nil
	}
	if t, _, ok := labels.ParseTrial(word); ok {
		return func(m tracker.Mark) bool { return m.Code == t.Symbol() }, nil
	}
	e, err := intake.EventNamed(b.rec, word)
	if err != nil {
		return nil, withHint(usageError("%s is neither a code nor an event of this study", quoted(word)), "soaktag status lists what asks")
	}
	return func(m tracker.Mark) bool { return m.Event == e.ID }, nil
}
