package wording

import (
	"fmt"
	"strings"
	"time"

	"soaktag/tracker"
	"soaktag/tracker/intake"
)

// merged tells what came over from another notebook.
func merged(n intake.Merged) (out []Sentence) {
	did := "took over "
	if n.Dry {
		did = "would take over "
	}
	out = append(out, answer("%s %s from %s%s", did, Counted(n.Added, "entry", "entries"), n.Name, writtenThere(n)))
	if n.Known > 0 {
		out = append(out, tell("%s in both already and not added again", Counted(n.Known, "entry is", "entries are")))
	}
	if n.Dry {
		out = append(out, advise("nothing recorded; the same without --dry-run records it"))
	}
	return out
}

// writtenThere says when, and by whom, what came over was written.
func writtenThere(n intake.Merged) string {
	if n.Added == 0 {
		return ""
	}
	text := ", written " + Time(n.First, n.Zone)
	if last := Time(n.Last, n.Zone); last != Time(n.First, n.Zone) {
		text += " to " + last
	}
	if len(n.Writers) > 0 {
		text += " by " + strings.Join(n.Writers, ", ")
	}
	return text
}

// saidOtherwise names what both notebooks hold in other words.
func saidOtherwise(n intake.SaidOtherwise) Sentence {
	var names []string
	for _, e := range n.Events[:min(len(n.Events), fewCodes)] {
		names = append(names, fmt.Sprintf("#%d %s", e.Seq, Whom(e)))
	}
	if more := len(n.Events) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("and %d more", more))
	}
	return warn("%s other words in %s (%s); what stands here stays: compare with soaktag history, and put it right with soaktag amend correct",
		Counted(len(n.Events), "entry has", "entries have"), n.Name, strings.Join(names, ", "))
}

// ofNotebooks words marks on what was written apart, in two copies of a study, and on
// what is missing.
func ofNotebooks(m tracker.Mark) string {
	switch a := m.About.(type) {
	case tracker.DealtTwice:
		return dealtTwice(a, m)
	case tracker.AmendedApart:
		return fmt.Sprintf("this plan was made without knowing that of %s%s, and holds since it is the later: amend the plan once more where both are meant",
			clockTime(a.At), by(a.Beside))
	case tracker.SettledApart:
		did := "corrected"
		if a.Also.Kind == tracker.Voided {
			did = "taken back"
		}
		return fmt.Sprintf("the entry that this corrects was %s as well, apart from it%s (#%d); this correction counts", did, by(a.Also), a.Also.Seq)
	case tracker.Missing:
		return missing(a)
	}
	return ""
}

// dealtTwice says which of two specimens a code means, and the way out.
func dealtTwice(a tracker.DealtTwice, m tracker.Mark) string {
	return fmt.Sprintf("dealt twice, in two notebooks: here it is the one added%s (#%d); another, %s %s, was added%s (#%d). "+
		"Way out: soaktag amend void %d --reason \"dealt twice\", then soaktag amend add deals that one anew under the next serial: print its label, "+
		"and where entries meant it, soaktag amend correct EVENT code=NEWCODE",
		by(a.First), a.First.Seq, a.Other.Adhesive, a.Other.Treatment, by(a.Second), a.Second.Seq, a.Second.Seq)
}

// by says who wrote an event, and in which notebook, as far as that is known.
func by(e tracker.Event) string { return led(" by ", e.By) + led(" in ", e.Notebook) }

// inNotebook says when, by whom and in which notebook an entry was written that came from
// another; empty for one of this.
func inNotebook(e tracker.Event, zone *time.Location) string {
	if e.Notebook == "" {
		return ""
	}
	return " [written " + Time(e.Recorded, zone) + by(e) + "]"
}

// missing says between which entries others could not be read any more.
func missing(a tracker.Missing) string {
	where := "between " + placed(a.After) + " and " + placed(a.Before)
	switch {
	case a.After.ID == "":
		where = "before " + placed(a.Before)
	case a.Before.ID == "":
		where = "after " + placed(a.After)
	}
	text := fmt.Sprintf("%s nothing can be read: %s, from #%d of the damaged log on", where, Counted(a.Entries, "entry", "entries"), a.First)
	return text + led("; ", strings.TrimSuffix(a.Note, "; ")) + "; what a backup or a notebook still has of it comes over with soaktag import"
}

// placed is an entry by its number, what it says and when it was written.
func placed(e tracker.Event) string {
	return fmt.Sprintf("#%d (%s %s, written %s)", e.Seq, Whom(e), What(e, nil), clockTime(e.Recorded))
}

// Gaps says where entries are missing from a record, a line each.
func Gaps(rec *tracker.Record) (lines []string) {
	for _, m := range rec.Marks() {
		if a, is := m.About.(tracker.Missing); is {
			lines = append(lines, missing(a))
		}
	}
	return lines
}
