package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// driftCommand compares what happened with what was planned.
func (s *session) driftCommand() *cli.Command {
	return &cli.Command{
		Name:  "drift",
		Usage: "say by how much every interval drifted: all together, one group alone, one specimen alone",
		Description: "Common drift moved every group alike: the ranking stands, the protocol's name does not.\n" +
			"Differential drift moved one group: comparisons with it do not stand, except that a group\n" +
			"that soaked longer and still won has won, unless its adhesive goes on curing in water.\n" +
			"Exit status 3 when an interval left its limits and nobody has accepted that.",
		Flags:  lookFlags(),
		Action: s.drift,
	}
}

func (s *session) drift(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	intervals := view.rec.Drift(view.now)
	s.attention = s.attention || view.rec.DriftAsks(intervals)
	if c.Bool("json") {
		return s.json(c, "drift/1", tables.NewDrift(intervals))
	}
	s.printDrift(view, intervals)
	return nil
}

// actual is the middle of what is known of a length.
func actual(sp tracker.SpecimenDrift) time.Duration {
	if sp.Hi == schedule.Unbounded {
		return sp.Lo
	}
	return sp.Lo + (sp.Hi-sp.Lo)/2
}

func (s *session) printDrift(v view, intervals []tracker.IntervalDrift) {
	if len(intervals) == 0 {
		s.print("no planned interval has begun by %s\n", wording.Time(v.now, v.zone()))
		return
	}
	for i, iv := range intervals {
		if i > 0 {
			s.print("\n")
		}
		s.printInterval(iv)
	}
}

func (s *session) printInterval(iv tracker.IntervalDrift) {
	s.print("%s, planned %s%s: %s\n", iv.Interval, iv.Planned, originalText(iv), commonText(iv))
	if len(iv.Groups) > 0 && iv.Judged {
		s.print("%s", indent(groupTable(iv)))
		s.printException(iv)
	}
	for _, line := range strayed(iv) {
		s.print("  %s\n", line)
	}
}

// originalText puts the plan that the study began with beside the one in force.
func originalText(iv tracker.IntervalDrift) string {
	switch {
	case iv.Mixed:
		return " at first, amended while some had begun: all against that first plan"
	case iv.Original.Kind == schedule.None:
		return " (originally not planned)"
	case iv.Original != iv.Planned:
		return fmt.Sprintf(" (originally %s)", iv.Original)
	}
	return ""
}

// commonText is what moved all groups together, and what that means.
func commonText(iv tracker.IntervalDrift) string {
	ended := 0
	for _, g := range iv.Groups {
		ended += g.N
	}
	switch {
	case ended == 0:
		return count(len(iv.Specimens)) + " running"
	case !iv.Judged:
		return count(ended) + " of " + count(len(iv.Specimens)) + " ended, " + extremes(iv)
	}
	text := "common drift " + wording.Signed(iv.Common)
	switch iv.CommonVerdict {
	case schedule.Early, schedule.Late:
		text += ", outside"
		if iv.Planned.Kind == schedule.Target {
			text += ": the ranking stands, but call it " + schedule.Short(iv.Planned.Length+iv.Common)
		}
	case schedule.Within:
		text += ", within"
	case schedule.CannotTell:
		text += ", cannot tell"
	}
	return text
}

// extremes gives the shortest and the longest that a limit was held against.
func extremes(iv tracker.IntervalDrift) string {
	var all []time.Duration
	for _, sp := range iv.Specimens {
		if sp.Done {
			all = append(all, actual(sp))
		}
	}
	return schedule.Short(slices.Min(all)) + " to " + schedule.Short(slices.Max(all))
}

func groupTable(iv tracker.IntervalDrift) *table {
	t := newTable("adhesive", "treatment", ">n", ">lasted", ">drift", ">against the rest", "")
	for _, g := range iv.Groups {
		word, beside := "", "-"
		if g.Judged {
			beside = wording.Signed(g.Differential)
		}
		switch {
		case g.Verdict.Outside():
			word = "outside: not treated like the rest"
		case g.Verdict == schedule.CannotTell:
			word = "cannot tell"
		}
		t.row(g.Adhesive, g.Treatment, count(g.N), schedule.Short(g.Length), wording.Signed(g.Drift), beside, word)
	}
	return t
}

// printException qualifies "not treated like the rest" where a group soaked
// longer: that may have cost it strength, and cannot have helped it.
func (s *session) printException(iv tracker.IntervalDrift) {
	longer := func(g tracker.GroupDrift) bool { return g.Verdict == schedule.Late }
	if iv.Interval == "soak" && slices.ContainsFunc(iv.Groups, longer) {
		s.print("  Except: a group that soaked longer and still won has won, unless it goes on curing in water;\n" +
			"  soaktag results says so beside the pair.\n")
	}
}

func indent(t *table) string {
	lines := strings.Split(strings.TrimSuffix(t.String(), "\n"), "\n")
	return "  " + strings.Join(lines, "\n  ") + "\n"
}

// strayed names every specimen outside its limits or perhaps outside, unless
// the whole interval moved that way: then only those that went the other way.
func strayed(iv tracker.IntervalDrift) []string {
	var lines []string
	for _, sp := range iv.Specimens {
		if sp.Verdict == schedule.Within || sp.Verdict == schedule.Running || sp.Verdict == iv.CommonVerdict {
			continue
		}
		lines = append(lines, wording.Name(sp.Of)+": "+howLong(sp))
	}
	return lines
}

func howLong(sp tracker.SpecimenDrift) string {
	text := sp.Verdict.String() + ", "
	switch {
	case sp.Hi == schedule.Unbounded:
		text += "lasted at least " + schedule.Short(sp.Lo)
	case sp.Lo != sp.Hi:
		text += "lasted " + schedule.Short(sp.Lo) + " to " + schedule.Short(sp.Hi)
	default:
		text += "lasted " + schedule.Short(sp.Lo)
	}
	if sp.Known {
		text += ", " + wording.Signed(sp.Drift)
	}
	if !sp.Done {
		text += " and running"
	}
	if off, ok := sp.DriftOriginal(); ok && sp.Original != sp.Planned {
		text += ", against the original plan " + wording.Signed(off)
	}
	return text
}
