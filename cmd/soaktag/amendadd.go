package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"soaktag/tracker"
)

func amendAddCommand(do cli.ActionFunc) *cli.Command {
	return &cli.Command{
		Name: "add", Usage: "specimens are added, or one is glued anew from its halves", ArgsUsage: " ", Action: do,
		Description: "They get the next serials; a serial is never used again.",
		Flags: append(entryFlags(),
			&cli.StringFlag{Name: "adhesive", Usage: "the plan's `KEY`"},
			&cli.StringFlag{Name: "treatment", Usage: "the plan's `KEY`"},
			&cli.StringFlag{Name: "board", Usage: "the `BOARD` it was cut from"},
			&cli.StringFlag{Name: "of", Usage: "the earlier specimen, `CODE`, whose halves were glued anew"},
			&cli.IntFlag{Name: "count", Usage: "how many, `N`", Value: 1}),
	}
}

// mostAdded is far more than anybody glues after the plan; beyond it is a slip.
const mostAdded = 100

// amendAdd deals specimens after the study began: more of a group, or one
// glued anew from the halves of an earlier one.
func (b *book) amendAdd(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	n := 1
	if c.IsSet("count") {
		n = c.Int("count")
	}
	if n < 1 || n > mostAdded {
		return usageError("--count %d: add 1 to %d specimens at a time; nothing recorded", n, mostAdded)
	}
	model, err := b.model(c)
	if err != nil {
		return err
	}
	fact, err := b.dealMore(model, n)
	if err != nil {
		return err
	}
	b.reportAdded(fact)
	return nil
}

// model is a specimen as those to be added will be, still without its code.
func (b *book) model(c *cli.Context) (tracker.Specimen, error) {
	var sp tracker.Specimen
	if of := c.String("of"); of != "" {
		sub, err := b.dealt(of)
		if err != nil {
			return sp, err
		}
		sp = b.reglued(sub)
	}
	for flag, to := range map[string]*string{"adhesive": &sp.Adhesive, "treatment": &sp.Treatment, "board": &sp.Board} {
		if c.IsSet(flag) {
			*to = c.String(flag)
		}
	}
	return b.fitting(sp)
}

// reglued is what a specimen glued anew takes over from its parent.
func (b *book) reglued(parent subject) tracker.Specimen {
	life := lifeOf(b.rec, parent)
	if len(life.Tries) == 0 {
		b.warn("%s has no break on record, so it has no halves to glue: write it up with soaktag break %s", life.Specimen.Code, life.Specimen.Code)
	}
	return tracker.Specimen{Parent: life.Specimen.Code.Whole().String(), Adhesive: life.Specimen.Adhesive,
		Treatment: life.Specimen.Treatment, Board: life.Specimen.Board}
}

// fitting checks a specimen against the plan in force and gives it its bath.
func (b *book) fitting(sp tracker.Specimen) (tracker.Specimen, error) {
	study := b.rec.Study()
	a, t := adhesiveOf(study, sp.Adhesive), treatmentOf(study, sp.Treatment)
	switch {
	case sp.Adhesive == "" || sp.Treatment == "":
		return sp, usageError("amend add wants --adhesive KEY and --treatment KEY, or --of CODE, the specimen whose halves were glued anew")
	case a == nil:
		return sp, withHint(usageError("no adhesive %q in the plan in force, which has %s; nothing recorded", sp.Adhesive, adhesiveKeys(study)),
			"a new one goes into the plan first: soaktag amend plan FILE.toml --reason \"why\"")
	case t == nil:
		return sp, withHint(usageError("no treatment %q in the plan in force, which has %s; nothing recorded", sp.Treatment, treatmentKeys(study)),
			"a new one goes into the plan first: soaktag amend plan FILE.toml --reason \"why\"")
	case sp.Board != "" && !hasBoard(study, sp.Board):
		return sp, withHint(usageError("no board %q in the plan in force; nothing recorded", sp.Board),
			"put it into wood.boards first: soaktag amend plan FILE.toml --reason \"why\"")
	case sp.Board == "" && len(study.Wood.Boards) > 0:
		b.warn("from no board: no specimen is compared with it board by board; with --board NAME one would be")
	}
	if t.Soaked {
		sp.Bath = a.Bath
	}
	return sp, nil
}

func adhesiveKeys(s *tracker.Study) string {
	var keys []string
	for _, a := range s.Adhesives {
		keys = append(keys, a.Key)
	}
	return strings.Join(keys, ", ")
}

func treatmentKeys(s *tracker.Study) string {
	var keys []string
	for _, t := range s.Treatments {
		keys = append(keys, t.Key)
	}
	return strings.Join(keys, ", ")
}

// mostTries is how often serials are chosen anew because another program dealt
// the same ones first.
const mostTries = 50

// dealMore records n specimens like the model under the next serials. Another
// program may deal between reading and writing: the store then refuses the
// serials, and the next ones are taken.
func (b *book) dealMore(model tracker.Specimen, n int) (tracker.Event, error) {
	fact := b.entry.event(tracker.PlanAmended)
	for range mostTries {
		rec, err := b.db.State()
		if err != nil {
			return fact, err
		}
		codes := rec.Undealt(n)
		if len(codes) < n {
			return fact, usageError("only %d serials are left under the prefix %s; nothing recorded", len(codes), rec.Study().Prefix)
		}
		fact.Dealt = nil
		for i, code := range codes {
			sp := model
			sp.Code, sp.Order = code, len(rec.Specimens())+i+1
			fact.Dealt = append(fact.Dealt, sp)
		}
		if _, err = b.db.Record(fact); !errors.Is(err, tracker.ErrDealt) {
			return fact, err
		}
	}
	return fact, fmt.Errorf("other programs go on adding specimens; NOT recorded, try again")
}

// reportAdded says the new codes and how their labels are printed. It does not
// say the adhesive of one glued anew: breaking is blind.
func (b *book) reportAdded(fact tracker.Event) {
	var codes []string
	for _, sp := range fact.Dealt {
		text := "for " + sp.Adhesive + " " + sp.Treatment
		if sp.Parent != "" {
			text = "re-glued from " + sp.Parent
		}
		if sp.Board != "" {
			text += ", board " + sp.Board
		}
		if sp.Bath != "" {
			text += ", bath " + sp.Bath
		}
		b.print("added  %s  %s: %s\n", sp.Code, text, fact.Reason)
		codes = append(codes, sp.Code.String())
	}
	b.hint("print the labels: soaktag labels %s --study %s --stock \"a4 3x9 63.5x29.6\" --out added.pdf",
		strings.Join(codes, " "), shellWord(b.file))
}
