package report

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/wording"
)

// A driftTable is one planned interval and how it went across the study.
type driftTable struct {
	Interval, Planned string
	First             string   // what the first plan said, where that was amended
	Only              string   // what the last column bears on, where that is not everything
	Common, Means     string   // what moved all alike, and what follows
	Apart             []string // groups, and single specimens, that were not treated like the rest
	N                 int
}

func (s *source) driftTables() (out []driftTable) {
	for _, d := range s.drift {
		t := driftTable{Interval: d.Interval, Planned: unbroken(plannedText(d.Planned)), First: firstText(d.Planned, d.Original)}
		if d.Mixed {
			t.First = strings.TrimPrefix(t.First+"; not all went by the same plan", "; ")
		}
		for _, sp := range d.Specimens {
			if sp.Done {
				t.N++
			}
		}
		t.Common, t.Means = common(d)
		for _, g := range d.Groups {
			switch {
			case g.Judged && g.Verdict.Outside():
				t.Apart = append(t.Apart, fmt.Sprintf("%s %s %s", s.kind(g.Adhesive), g.Treatment, signed(g.Differential)))
			case g.Judged && g.Verdict == schedule.CannotTell:
				t.Apart = append(t.Apart, fmt.Sprintf("%s %s: cannot tell", s.kind(g.Adhesive), g.Treatment))
			}
			if alone := d.Stragglers(g.Adhesive, g.Treatment); len(alone) > 0 {
				t.Apart = append(t.Apart, wording.LengthsOfStragglers(alone))
			}
		}
		if d.Planned.Kind == schedule.AsPartner && len(t.Apart) > 0 {
			t.Only = "(a control's age bears on what was kept only, not on who can be told apart)"
		}
		out = append(out, t)
	}
	return out
}

func plannedText(p schedule.Planned) string { return strings.ReplaceAll(p.String(), "+/-", "±") }

// firstText is what the first plan said of an interval, where it said otherwise.
func firstText(now, first schedule.Planned) string {
	switch {
	case first.String() == now.String():
		return ""
	case first.Kind == schedule.None:
		return "not in the first plan"
	}
	return "first planned " + plannedText(first)
}

// common says what moved all groups together, and what follows from it.
func common(d tracker.IntervalDrift) (moved, means string) {
	if !d.Judged {
		return "a limit: nothing to drift from", ""
	}
	moved = signed(d.Common)
	switch d.CommonVerdict {
	case schedule.Early, schedule.Late:
		moved += ", outside"
		means = "all moved together: the ranking is fair, the protocol's name is not"
		if d.Planned.Kind == schedule.Target {
			means += "; call it " + schedule.Short(d.Planned.Length+d.Common)
		}
	case schedule.Within:
		moved, means = moved+", within", "as planned"
	case schedule.CannotTell:
		moved, means = moved+", cannot tell", ""
	}
	return moved, means
}

// A lapseOf finds the drift of a specimen's interval.
type lapseOf struct{ code, interval string }

func (s *source) bySpecimen() (of map[lapseOf]tracker.SpecimenDrift, commonly map[string]schedule.Verdict) {
	of, commonly = map[lapseOf]tracker.SpecimenDrift{}, map[string]schedule.Verdict{}
	for _, d := range s.drift {
		if d.Judged {
			commonly[d.Interval] = d.CommonVerdict
		}
		for _, sp := range d.Specimens {
			of[lapseOf{sp.Of.Code.String(), d.Interval}] = sp
		}
	}
	return of, commonly
}

// middle is the length, or the middle of the range it is known to lie in.
func middle(lo, hi time.Duration) time.Duration {
	if hi == schedule.Unbounded {
		return lo
	}
	return lo + (hi-lo)/2
}

// lasted writes a length, or the range it lies in.
func lasted(d tracker.SpecimenDrift) string {
	switch {
	case d.Hi == schedule.Unbounded:
		return "at least " + schedule.Short(d.Lo)
	case d.Lo != d.Hi:
		return schedule.Short(d.Lo) + " to " + schedule.Short(d.Hi)
	}
	return schedule.Short(d.Lo)
}

// verdictWords say how an interval left its limits; empty where it did not.
func verdictWords(d tracker.SpecimenDrift) string {
	word := ""
	switch {
	case d.Verdict.Outside():
		word = d.Verdict.String()
		if d.Known {
			word += " " + signed(d.Drift)
		}
	case d.Verdict == schedule.CannotTell:
		word = "cannot tell"
	}
	if !d.Done {
		word = strings.TrimPrefix(word+", running", ", ")
	}
	return word
}

func hours(d time.Duration) string { return strconv.FormatFloat(d.Hours(), 'g', -1, 64) }

// A lapseCell is one interval of one specimen in the table.
type lapseCell struct {
	Lasted, Hours, Word string
	First               string // as in a driftTable, and what was in force
}

func newLapseCell(d tracker.SpecimenDrift) lapseCell {
	cell := lapseCell{Lasted: lasted(d), Hours: hours(middle(d.Lo, d.Hi)), Word: verdictWords(d)}
	if first := firstText(d.Planned, d.Original); first != "" {
		cell.First = "planned " + plannedText(d.Planned) + ", " + first
	}
	return cell
}

// strays reports whether d left its limits in a way that the whole study did
// not.
func strays(d tracker.SpecimenDrift, commonly schedule.Verdict) bool {
	if !d.Done && d.Verdict != schedule.Late {
		return false
	}
	return (d.Verdict.Outside() || d.Verdict == schedule.CannotTell) && d.Verdict != commonly
}

// outcomeOf finds how a specimen ended.
func outcomes(r strength.Report) map[string]strength.Specimen {
	all := make(map[string]strength.Specimen, len(r.Specimens))
	for _, sp := range r.Specimens {
		all[sp.Code] = sp
	}
	return all
}
