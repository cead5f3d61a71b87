package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/plan"
	"soaktag/tracker/wording"
)

func amendPlanCommand(do cli.ActionFunc) *cli.Command {
	return &cli.Command{
		Name: "plan", Usage: "another plan governs what has yet to begin", ArgsUsage: "FILE.toml", Flags: entryFlags(), Action: do,
		Description: "Says first what changes, for which specimens, and what stays; at a terminal it asks.\n" +
			"Intervals that began before keep their plan; drift is shown beside the original plan too.",
	}
}

// amendPlan puts another plan in force, after saying what it changes.
func (b *book) amendPlan(c *cli.Context) error {
	path, err := oneFile(c, "FILE.toml")
	if err != nil {
		return err
	}
	next, err := b.readPlan(path)
	if err != nil {
		return err
	}
	differences, err := b.differences(path, next)
	if err != nil {
		return err
	}
	if why := rewrites(b.rec, next); len(why) > 0 {
		for _, w := range why {
			b.say("error: %s: %s", path, w)
		}
		return usageError("%s is refused: it would rewrite what happened; nothing recorded", path)
	}
	fact := b.entry.event(tracker.PlanAmended)
	fact.Plan = next.Text
	if err := b.inOrder(fact); err != nil {
		return err
	}
	after, err := b.rec.With(fact)
	if err != nil {
		return refused(err)
	}
	b.printDifferences(differences)
	b.printConsequences(after)
	b.sayLeftAlone(differences)
	if err := b.agreed(); err != nil {
		return err
	}
	return b.amended(fact)
}

// differences compares a plan with the one in force; one that is the same is
// no amendment.
func (b *book) differences(path string, next *tracker.Study) ([]plan.Difference, error) {
	if bytes.Equal(b.rec.Study().Text, next.Text) {
		return nil, withHint(usageError("%s is the plan in force, to the letter; nothing recorded", path),
			"change the file, see what it means with soaktag check %s, and amend again", shellWord(path))
	}
	all, err := plan.Differences(b.rec.Study().Text, next.Text)
	return all, refused(err)
}

// inOrder refuses an amendment from a time to come, or from before the plan
// that it was compared with: which plan is in force must not depend on who asks.
func (b *book) inOrder(fact tracker.Event) error {
	if fact.At.From.After(b.now().Add(time.Minute)) {
		return usageError("an amendment holds from now or from earlier on, not from %s; amend again then", wording.Span(fact.At, b.zone()))
	}
	for _, e := range b.rec.Events() {
		if (e.Kind == tracker.Begun || e.Kind == tracker.PlanAmended) && !b.rec.Voided(e.ID) && fact.At.From.Before(e.At.From) {
			return usageError("the plan in force holds from %s; an amendment from before that would be overruled by it; nothing recorded", wording.Span(e.At, b.zone()))
		}
	}
	return nil
}

// agreed asks whether the amendment is meant. Nobody to ask: it is.
func (b *book) agreed() error {
	if !b.terminal || b.entry.Yes {
		return nil
	}
	answer, err := b.ask("record this amendment? [y/N]")
	if err == nil && !isYes(answer) {
		err = usageError("not recorded: the plan in force stays as it was")
	}
	return err
}

func (b *book) amended(fact tracker.Event) error {
	before := b.askingNow()
	verdicts, err := b.db.Record(fact)
	if err != nil {
		return meanwhile(err)
	}
	b.print("recorded  plan amended  %s: %s\n", wording.Span(fact.At, b.zone()), fact.Reason)
	b.hint("to take it back: soaktag amend void %d --reason \"why\"", verdicts[0].Event.Seq)
	b.hint("what was printed before may be out of date: soaktag due, soaktag calendar --out NEW.ics, soaktag worksheet STAGE --out NEW.pdf")
	return b.sayNewMarks(before, fact.ID)
}

// printDifferences shows old and new as they stand in the two files.
func (b *book) printDifferences(all []plan.Difference) {
	if len(all) == 0 {
		b.print("no value differs, only how the file is written\n")
		return
	}
	b.print("%s in the plan:\n", wording.Counted(len(all), "value changes", "values change"))
	for _, d := range all {
		switch {
		case d.Old == "":
			b.print("  %s: new, %s\n", d.Key, d.New)
		case d.New == "":
			b.print("  %s: gone, was %s\n", d.Key, d.Old)
		default:
			b.print("  %s: %s -> %s\n", d.Key, d.Old, d.New)
		}
	}
}

// printConsequences says which specimens go by the new plan and which had
// begun an interval and keep the old, and what stays in any case.
func (b *book) printConsequences(after *tracker.Record) {
	var moved, kept tally
	lives := after.Lives()
	for i, life := range b.rec.Lives() {
		compareLives(life, lives[i], after.Study().IntervalsOf(life.Specimen), &moved, &kept)
	}
	if len(moved.order)+len(kept.order) > 0 {
		b.print("what that means:\n")
	}
	for _, t := range []tally{moved, kept} {
		for _, line := range t.order {
			b.print("  %s: %s\n", line, wording.Plural(t.n[line], "specimen"))
		}
	}
	b.print("stays: %s with code, adhesive, treatment and board; every event\n", wording.Plural(len(lives), "specimen"))
}

// A tally counts specimens by what an amendment means for them.
type tally struct {
	order []string
	n     map[string]int
}

func (t *tally) add(format string, args ...any) {
	line := fmt.Sprintf(format, args...)
	if t.n == nil {
		t.n = map[string]int{}
	}
	if t.n[line] == 0 {
		t.order = append(t.order, line)
	}
	t.n[line]++
}

// compareLives compares the intervals of one specimen before and after, and
// with those that the new plan has.
func compareLives(before, after *tracker.Life, planned []schedule.Interval, moved, kept *tally) {
	for _, iv := range planned {
		was, is := lapseNamed(before, iv.Name), lapseNamed(after, iv.Name)
		switch {
		case is != nil && was == nil:
			moved.add("%s %s, which it had not", iv.Name, iv.Planned)
		case is != nil && was.Interval.Planned != is.Interval.Planned:
			moved.add("%s %s instead of %s", iv.Name, is.Interval.Planned, was.Interval.Planned)
		case is != nil && is.Interval.Planned != iv.Planned:
			kept.add("%s began before: keeps %s", iv.Name, is.Interval.Planned)
		}
	}
	for _, l := range before.Lapses {
		switch {
		case slices.ContainsFunc(planned, func(iv schedule.Interval) bool { return iv.Name == l.Interval.Name }):
		case lapseNamed(after, l.Interval.Name) == nil:
			moved.add("%s is no longer planned", l.Interval.Name)
		default:
			kept.add("%s began before: keeps %s", l.Interval.Name, l.Interval.Planned)
		}
	}
}

func lapseNamed(life *tracker.Life, name string) *tracker.Lapse {
	for i := range life.Lapses {
		if life.Lapses[i].Interval.Name == name {
			return &life.Lapses[i]
		}
	}
	return nil
}

// sayLeftAlone says which changes do not reach back to what was dealt, and
// which reach further than the intervals to come.
func (b *book) sayLeftAlone(all []plan.Difference) {
	touches := func(parts ...string) bool {
		return slices.ContainsFunc(all, func(d plan.Difference) bool {
			return slices.ContainsFunc(parts, func(p string) bool { return strings.Contains("."+d.Key+".", "."+p+".") })
		})
	}
	if touches("replicates", "seed", "spare") || newGroups(all) {
		b.hint("nothing is dealt by an amendment: add specimens with soaktag amend add --adhesive KEY --treatment KEY --reason \"why\"")
	}
	if touches("bath") {
		b.hint("specimens stay in the bath they have: soaktag amend move CODE --bath BATH --reason \"why\"")
	}
	if n := broken(b.rec); n > 0 && touches("rig", "rule", "specimen.bond") {
		b.warn("rig, rule and bond hold for results as a whole: those of %s are worked out anew", wording.Plural(n, "break"))
	}
}

// newGroups reports whether an adhesive or treatment is new.
func newGroups(all []plan.Difference) bool {
	return slices.ContainsFunc(all, func(d plan.Difference) bool {
		return d.Old == "" && (strings.HasPrefix(d.Key, "adhesive.") && strings.HasSuffix(d.Key, ".name") ||
			strings.HasPrefix(d.Key, "treatment.") && strings.Count(d.Key, ".") == 2)
	})
}

func broken(rec *tracker.Record) (n int) {
	for _, life := range rec.Lives() {
		if len(life.Tries) > 0 {
			n++
		}
	}
	return n
}

// setAside says that an event does not count any more.
func setAside(e tracker.Event) error {
	if e.Kind == tracker.PlanAmended {
		return usageError("event %d (%s) was set aside already", e.Seq, wording.Says(e))
	}
	return usageError("%s %s was set aside already; see soaktag history %s", wording.Whom(e), wording.What(e), shellWord(wording.Whom(e)))
}
