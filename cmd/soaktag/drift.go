package main

import (
	"github.com/urfave/cli/v2"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// driftCommand compares what happened with what was planned.
func (s *session) driftCommand() *cli.Command {
	return &cli.Command{
		Name:   "drift",
		Usage:  "say by how much every interval drifted: all together, one group alone, one specimen alone",
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

func (s *session) printDrift(v view, intervals []tracker.IntervalDrift) {
	if len(intervals) == 0 {
		s.print("no planned interval has begun by %s\n", wording.Time(v.now, v.zone()))
		s.hint("soaktag due says what comes first")
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
	s.print("%s, planned %s%s: %s\n", iv.Interval, iv.Planned, wording.OriginalPlan(iv), wording.CommonDrift(iv))
	if len(iv.Groups) > 0 && iv.Judged {
		s.print("%s", groupTable(iv))
		s.printException(iv)
	}
	for _, sp := range iv.Strays() {
		s.print("  %s: %s\n", wording.Name(sp.Of), wording.Lasted(sp))
	}
}

func groupTable(iv tracker.IntervalDrift) *screen.Table {
	t := screen.NewTable("adhesive", "treatment", ">n", ">median lasted", ">drift", ">against the rest", "")
	t.Indent = "  "
	for _, g := range iv.Groups {
		beside := "-"
		if g.Judged {
			beside = wording.Signed(g.Differential)
		}
		t.Row(g.Adhesive, g.Treatment, count(g.N), wording.ToMinute(g.Length), wording.Signed(g.Drift), beside, wording.GroupDrift(iv, g))
	}
	return t
}

// printException qualifies "not treated like the rest" where a group soaked
// longer: that may have cost it strength, and cannot have helped it.
func (s *session) printException(iv tracker.IntervalDrift) {
	if iv.SoakedLonger() {
		s.print("  Except: a group that soaked longer and still won has won, unless it goes on curing in water;\n" +
			"  soaktag results says so beside the pair.\n")
	}
}
