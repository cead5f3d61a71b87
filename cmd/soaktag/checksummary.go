package main

import (
	"fmt"
	"strings"

	"soaktag/cmd/soaktag/internal/screen"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/learnt"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
)

// summaryWidth keeps what belongs together on one line.
const summaryWidth = 112

// printSummary says on a few lines what the plan means; the tables stand behind
// --full.
func (s *session) printSummary(path string, study *tracker.Study, calendar design.Calendar, lessons *learnt.Lessons, full bool) {
	s.print("%s\n", study.Title)
	s.print("%s\n", wording.Specimens(study))
	lines := wording.Plan(study, calendar)
	if lessons != nil {
		lines = append(lines, wording.Lessons(*lessons)...)
	}
	for _, l := range lines {
		const lead = "          "
		s.print("%s", screen.ProseTo(summaryWidth, l.Text, fmt.Sprintf("%-9s ", l.About), lead))
	}
	if full {
		s.printTables(study, calendar)
		return
	}
	s.print("All tables, and the cautions in full: soaktag check %s --full\n", wording.ShellWord(path))
}

// printLoads lists what every break is expected to ask of every rig.
func (s *session) printLoads(study *tracker.Study) {
	loads, _ := design.Loads(study)
	if len(loads) == 0 {
		return
	}
	u := study.Units
	t := screen.NewTable("rig", "break of", "expected", "needed", "strength of the wood")
	for _, l := range loads {
		t.Row(l.Rig, l.Treatment, u.AboutForce(l.Expected), u.AboutForce(l.Needed),
			fmt.Sprintf("%s (%s, %s)", u.AboutPressure(l.Strength.Shear), l.Strength.Source, l.Strength.Status))
	}
	s.table("Loads expected (the wood's own strength x bond area; a part shall carry that over 0.6)", t)
	for _, r := range study.Rigs {
		s.printPumping(r, loads, u)
	}
}

// printDays lists the days of the calendar; where there is none, the dates as
// the lengths of the plan have them.
func (s *session) printDays(study *tracker.Study, calendar design.Calendar) {
	if !calendar.Fits() {
		s.printDates(study)
		return
	}
	t := &screen.Table{}
	for _, d := range calendar.Workdays(study.Zone) {
		groups := strings.Join(d.Groups, ", ")
		if d.All {
			groups = ""
		}
		t.Row(string(d.Stage), wording.Time(d.From, study.Zone), wording.Until(d, study.Zone), wording.Plural(d.Bonds, "bond"), groups)
	}
	for _, n := range calendar.Notes {
		t.Row(n)
	}
	s.table("Days (within the shop's hours; how many bonds, and which where it is not all of them; planing at any time of its span)", t)
}

// printPumping says how fast to pump a rig, and what a break on it lets go.
func (s *session) printPumping(r tracker.Rig, loads []design.Load, u quantity.System) {
	if n := design.StrokesOf(r); n > 0 {
		s.print("  %s: %.2g strokes a minute for the rate wanted\n", r.Name, n)
	}
	if most := design.MostStored(r.Name, loads); most > 0 {
		s.print("  %s: a break lets go of up to %s: screen between eyes and ram, stand to the side\n", r.Name, u.Energy(most))
	}
}
