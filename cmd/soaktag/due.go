package main

import (
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/strength"
	"soaktag/tracker/tables"
	"soaktag/tracker/wording"
)

// dueCommand says what is to be done now, soonest first.
func (s *session) dueCommand() *cli.Command {
	return &cli.Command{
		Name:   "due",
		Usage:  "say what is due, soon and overdue, soonest first, and what to do",
		Flags:  lookFlags(&cli.BoolFlag{Name: "all", Usage: "also what is still running, with nothing to do yet"}),
		Action: s.due,
	}
}

func (s *session) due(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	view, err := s.look(c)
	if err != nil {
		return err
	}
	items := view.rec.Due(view.now)
	s.attention = s.attention || tracker.States(items)[schedule.Overdue] > 0
	dangers := strength.InDanger(view.rec, view.now)
	if c.Bool("json") {
		return s.json(c, "due/1", tables.NewDue(items, dangers, view.zone()))
	}
	s.printDue(view, items, dangers, c.Bool("all"))
	return nil
}

func (s *session) printDue(v view, items []tracker.Due, dangers []strength.Danger, all bool) {
	counts := tracker.States(items)
	s.print("%s: overdue %d, due %d, soon %d, running %d\n", wording.Time(v.now, v.zone()),
		counts[schedule.Overdue], counts[schedule.Due], counts[schedule.Soon], counts[schedule.Ongoing])
	shown := 0
	for _, b := range tracker.DueBlocks(v.rec.Study().GroupDue(items)) {
		if b[0].State == schedule.Ongoing && !all {
			continue
		}
		s.printBlock(v.rec.Study(), b)
		shown++
	}
	start, waits := v.rec.Start(v.now)
	again := v.rec.BreakAgain()
	if shown == 0 && len(again) == 0 && !waits {
		look := wording.LookAgain(v.rec.Study(), items, v.now)
		s.print("nothing to do now%s\n", spelled("; ", look))
		s.hint("soaktag status says how far the study is, soaktag results what it comes to")
	}
	s.printDangers(dangers)
	if waits {
		s.printStart(v, start)
	}
	if len(again) > 0 {
		s.print("\nLOADED BEFORE and whole: %s, to be broken again or withdrawn; soaktag next names them\n    %s\n", wording.Plural(len(again), "specimen"),
			wording.AgainCommands(again[0].Specimen.Code.String(), v.rec.Study()))
	}
}

// printStart prints what comes before anything is due.
func (s *session) printStart(v view, start tracker.Start) {
	s.print("\nTO BEGIN  %s\n", wording.StartOf(start))
	if by := wording.StartBy(start, v.now, v.zone()); by != "" {
		s.print("    %s\n", by)
	}
	s.print("    %s\n", wording.StartCommands(start))
}

func (s *session) printDueGroup(study *tracker.Study, g tracker.DueGroup) {
	s.print("\n%s  %s of %s: %s%s\n", strings.ToUpper(g.State.String()), g.Stage,
		wording.DueWhom(g), wording.Plural(len(g.Items), "specimen"), wording.Roughly(g.Items))
	s.print("    %s\n", wording.Window(g.Whole(), study.Zone))
	s.print("    do: %s\n", wording.Work(study, g))
	if names := wording.DueNames(g); names != "" {
		s.print("    %s\n", names)
	}
}

// printBlock prints a group with a heading of its own, and several below one
// heading, each with its time.
func (s *session) printBlock(study *tracker.Study, b tracker.DueBlock) {
	zone := study.Zone
	if b[0].Rig != "" {
		s.printDummy(study, b[0].Items[0])
		return
	}
	if b[0].Water() {
		s.printWater(study, b)
		return
	}
	if len(b) == 1 {
		s.printDueGroup(study, b[0])
		return
	}
	key, all := b[0].DueKey, b.Items()
	s.print("\n%s  %s: %s%s\n", strings.ToUpper(key.State.String()), key.Stage, wording.Plural(len(all), "specimen"), wording.Roughly(all))
	when := wording.OneWindow(b, zone)
	if when != "" {
		s.print("    %s\n", when)
	}
	s.print("    do: %s\n", wording.Work(study, b[0]))
	for _, g := range b {
		s.printMember(zone, g, when == "")
	}
}

// printMember prints a group of a block: who, when unless the block has said
// so, and which specimens.
func (s *session) printMember(zone *time.Location, g tracker.DueGroup, timed bool) {
	names, whom, when := wording.DueNames(g), wording.DueWhom(g), wording.Window(g.Whole(), zone)
	switch {
	case len(g.Items) == 1 && timed:
		s.print("    %s, %s: %s\n", wording.DueName(g, g.Items[0].Specimen), whom, when)
		return
	case g.Few() && !timed:
		s.print("    %s: %s\n", whom, names)
		return
	case timed:
		s.print("    %s: %s, %s\n", whom, wording.Plural(len(g.Items), "specimen"), when)
	default:
		s.print("    %s: %s\n", whom, wording.Plural(len(g.Items), "specimen"))
	}
	if names != "" {
		s.print("        %s\n", names)
	}
}

// printWater prints baths whose water is to be changed, with the time of the soonest.
func (s *session) printWater(study *tracker.Study, b tracker.DueBlock) {
	s.print("\n%s  %s%s\n", strings.ToUpper(b[0].State.String()), wording.WaterOf(b...), wording.Roughly(b.Items()))
	s.print("    %s\n", wording.Window(b[0].Whole(), study.Zone))
	s.print("    do: %s\n    why: %s\n", wording.WaterWork(b...), wording.WhyWater)
}

// printDummy prints a dummy that is due.
func (s *session) printDummy(study *tracker.Study, d tracker.Due) {
	s.print("\n%s  dummy on %s, before lift-out%s\n", strings.ToUpper(d.State.String()), d.Rig, wording.Roughly([]tracker.Due{d}))
	s.print("    %s\n", wording.Window(d, study.Zone))
	s.print("    do: break a dummy on %s: %s\n", d.Rig, wording.DummyAsks)
	s.print("    %s\n", wording.DummyCommand(study, d.Rig))
}
