package wording

import (
	"fmt"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// Replanned says what another plan would change, for whom, and what stays.
func Replanned(r intake.Replanned) []Sentence {
	out := append(differences(r.Differences), foreseen(r)...)
	return append(out, leftAlone(r)...)
}

// differences shows old and new as they stand in the two files.
func differences(all []intake.Difference) []Sentence {
	if len(all) == 0 {
		return []Sentence{answer("no value differs, only how the file is written")}
	}
	out := []Sentence{answer("%s in the plan:", Counted(len(all), "value changes", "values change"))}
	for _, d := range all {
		switch {
		case d.Old == "":
			out = append(out, answer("  %s: new, %s", d.Key, d.New))
		case d.New == "":
			out = append(out, answer("  %s: gone, was %s", d.Key, d.Old))
		default:
			out = append(out, answer("  %s: %s -> %s", d.Key, d.Old, d.New))
		}
	}
	return out
}

// foreseen says which specimens go by the new plan and which had begun an
// interval and keep the old, and what stays in any case.
func foreseen(r intake.Replanned) (out []Sentence) {
	if len(r.Moved)+len(r.Kept) > 0 {
		out = append(out, answer("what that means:"))
	}
	for _, all := range [][]intake.Consequence{r.Moved, r.Kept} {
		for _, c := range all {
			out = append(out, answer("  %s: %s", consequence(c), Plural(c.Specimens, "specimen")))
		}
	}
	return append(out, answer("stays: %s with code, adhesive, treatment and board; every event", Plural(r.Specimens, "specimen")))
}

func consequence(c intake.Consequence) string {
	switch c.Change {
	case intake.NewInterval:
		return fmt.Sprintf("%s %s, which it had not", c.Interval, c.Planned)
	case intake.Altered:
		return fmt.Sprintf("%s %s instead of %s", c.Interval, c.Planned, c.Was)
	case intake.NotPlanned:
		return c.Interval + " is no longer planned"
	}
	return fmt.Sprintf("%s began before: keeps %s", c.Interval, c.Planned)
}

// leftAlone says which changes do not reach back to what was dealt, and which
// reach further than the intervals to come.
func leftAlone(r intake.Replanned) (out []Sentence) {
	if r.DealsNothing {
		out = append(out, advise("nothing is dealt by an amendment: all that the plan now lacks: soaktag amend add --missing --reason \"why\""))
	}
	if r.StayInBath {
		out = append(out, advise("specimens stay in the bath they have: soaktag amend move CODE --bath BATH --reason \"why\""))
	}
	if r.Reworked > 0 {
		out = append(out, warn("rig, rule and bond hold for results as a whole: those of %s are worked out anew", Plural(r.Reworked, "break")))
	}
	return out
}

func planInForce(e tracker.Event, zone *time.Location) []Sentence {
	return []Sentence{
		answer("recorded  plan amended  %s: %s", Span(e.At, zone), e.Reason),
		advise(fmt.Sprintf("to take it back: soaktag amend void %d --reason \"why\"", e.Seq)),
		advise("what was printed before may be out of date: soaktag due, soaktag calendar --out NEW.ics, soaktag worksheet STAGE --out NEW.pdf"),
	}
}

// Rewrite says what another plan would rewrite, and what to type instead.
func Rewrite(r intake.Rewrite) string {
	switch r.Of {
	case intake.PrefixChanged:
		return fmt.Sprintf("prefix %q: every label says %s; write prefix = %q, or begin another study with it: soaktag begin FILE.toml", r.New, r.Old, r.Old)
	case intake.ZoneChanged:
		return fmt.Sprintf("zone %q: times were written down in %s; write zone = %q, or begin another study with it: soaktag begin FILE.toml", r.New, r.Old, r.Old)
	}
	return fmt.Sprintf("%s: %d", goneFrom(r), r.Counted)
}

func goneFrom(r intake.Rewrite) string {
	switch r.Of {
	case intake.AdhesiveGone:
		return fmt.Sprintf("adhesive.%s is gone: put it back, its name may change, its key may not; specimens that have it", r.Key)
	case intake.TreatmentGone:
		return fmt.Sprintf("treatment.%s is gone: put it back; specimens that have it", r.Key)
	case intake.BoardGone:
		return fmt.Sprintf("board %q is gone from wood.boards: put it back; specimens cut from it", r.Key)
	case intake.RigGone:
		return fmt.Sprintf("rig %q is gone: put it back; tries read on it", r.Key)
	}
	return fmt.Sprintf("%s %s would go through other stages: leave it as it was and give what is new a key of its own, then soaktag amend add; specimens of it",
		r.Key, r.And)
}
