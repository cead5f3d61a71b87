package main

import (
	"fmt"
	"io"
	"strings"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
	"soaktag/tracker/wording"
	"soaktag/tracker/worksheet"
)

// summaryWidth keeps what belongs together on one line.
const summaryWidth = 112

// printSummary says on a few lines what the plan means; the tables stand behind
// --full.
func (s *session) printSummary(path string, study *tracker.Study, days calendarAnswer, full bool) {
	s.print("%s\n", study.Title)
	s.print("%s\n", specimensText(study))
	for _, l := range summary(study, days) {
		const lead = "          "
		s.print("%-9s %s", l.about, strings.TrimPrefix(folded(summaryWidth, strings.Fields(l.text), lead), lead))
	}
	if full {
		s.printTables(study, days)
		return
	}
	s.print("All tables, and the cautions in full: soaktag check %s --full\n", shellWord(path))
}

// specimensText is the matrix in words, where every cell has as many.
func specimensText(study *tracker.Study) string {
	text := fmt.Sprintf("%s: %s x %s", wording.Plural(specimenCount(study), "specimen"), wording.Plural(len(study.Adhesives), "adhesive"), treatmentsText(study))
	if n := len(study.Wood.Boards); n > 0 {
		return text + ", on " + wording.Plural(n, "board")
	}
	return text + ", no boards: completely random"
}

func treatmentsText(study *tracker.Study) string {
	var parts []string
	for _, t := range study.Treatments {
		least, most := 0, 0
		for i, a := range study.Adhesives {
			n := design.Replicates(a, t)
			if i == 0 || n < least {
				least = n
			}
			most = max(most, n)
		}
		if least == most {
			parts = append(parts, fmt.Sprintf("%d %s", most, t.Key))
		} else {
			parts = append(parts, fmt.Sprintf("%d to %d %s", least, most, t.Key))
		}
	}
	return strings.Join(parts, ", ")
}

// A summaryLine says what a plan means in one respect.
type summaryLine struct{ about, text string }

func summary(study *tracker.Study, days calendarAnswer) (lines []summaryLine) {
	add := func(about, text string) {
		if text != "" {
			lines = append(lines, summaryLine{about, text})
		}
	}
	add("cut", cutText(study))
	add("adhesive", glueText(study))
	for _, r := range study.Rigs {
		add("rig", rigText(study, r))
	}
	add("bath", bathText(study))
	add("tells", tellText(study))
	add("days", days.text(study))
	add("schedule", protocolText(study))
	add("mind", mindText(study))
	return lines
}

func cutText(study *tracker.Study) string {
	u := study.Units
	blanks, boards := 0, newAlike()
	for _, c := range design.CutList(study) {
		blanks += c.Blanks
		if c.Board != "" && c.Length > 0 {
			boards.add(fmt.Sprintf("%d from %%s (%s of %s)", c.Blanks, u.LengthNumber(c.Length), u.Length(c.Of)), c.Board)
		}
	}
	text := wording.Plural(blanks, "blank")
	if study.Wood.Spare > 0 {
		text += fmt.Sprintf(", %.3g %% spare among them", study.Wood.Spare.Percent())
	}
	if list := boards.text("board"); list != "" {
		text += ": " + list
	}
	return text
}

// glueText gives what to mix of each, adhesives that take as much together.
func glueText(study *tracker.Study) string {
	who := newAlike()
	for _, m := range design.AdhesiveMasses(study) {
		if m.Net == 0 {
			who.add("no spread given for %s", m.Adhesive)
			continue
		}
		who.add(fmt.Sprintf("mix %.1f g of %%s", m.Mix.G()), m.Adhesive)
	}
	return who.text("adhesive")
}

// alike gathers names of which the same is said.
type alike struct {
	order []string
	names map[string][]string
}

func newAlike() *alike { return &alike{names: map[string][]string{}} }

// add says of a name what a format with one %s says.
func (a *alike) add(format, name string) {
	if a.names[format] == nil {
		a.order = append(a.order, format)
	}
	a.names[format] = append(a.names[format], name)
}

// text says everything once, of all in a few words where there is nothing else to say.
func (a *alike) text(noun string) string { return a.list(noun, "; ") }

func (a *alike) list(noun, between string) string {
	var parts []string
	for _, format := range a.order {
		names := a.names[format]
		who := strings.Join(names, ", ")
		if len(names) > 2 && len(a.order) == 1 {
			who = fmt.Sprintf("each of %s", wording.Plural(len(names), noun))
		}
		parts = append(parts, fmt.Sprintf(format, who))
	}
	return strings.Join(parts, between)
}

// rigText says what breaks on a rig are expected to ask of it.
func rigText(study *tracker.Study, r tracker.Rig) string {
	loads, _ := design.Loads(study) // what cannot be known is among the warnings
	u := study.Units
	var takes []string
	var last *design.Load
	for i, l := range loads {
		if l.Rig != r.Name {
			continue
		}
		text := fmt.Sprintf("%s %s", l.Treatment, u.AboutForce(l.Expected))
		if l.Reading != nil && l.GaugeShare != nil {
			text += " (" + onGauge(l, len(takes) == 0) + ")"
		}
		takes, last = append(takes, text), &loads[i]
	}
	if last == nil {
		return ""
	}
	text := r.Name + ": " + strings.Join(takes, ", ")
	if last.StopAt != nil {
		text += fmt.Sprintf("; stop at %s", last.StopAt)
	}
	return text
}

// onGauge is the reading, where it is not the force itself, and its share of
// the gauge.
func onGauge(l design.Load, first bool) string {
	text := fmt.Sprintf("%.0f %%", 100**l.GaugeShare)
	if first {
		text += " of span"
	}
	if !l.Reading.IsForce() {
		text = l.Reading.String() + ", " + text
	}
	return text
}

func bathText(study *tracker.Study) string {
	baths := design.Baths(study)
	if len(baths) == 0 {
		return ""
	}
	u, same := study.Units, newAlike()
	for _, b := range baths {
		name, needs := b.Name, ""
		if name == "" {
			name = "one tub"
		}
		if b.Water > 0 {
			needs = u.Volume(b.Water) + " in %s"
		}
		if b.Steel > 0 {
			needs += "; blocks float: " + u.Mass(b.Steel) + " of steel on them"
		}
		if needs == "" {
			needs = "%s, of unknown size"
		}
		same.add(needs, name)
	}
	return same.text("bath") + waterText(study)
}

// waterText says how often a long soak wants fresh water.
func waterText(study *tracker.Study) string {
	for _, w := range design.Foresee(study) {
		if w.Rule == "water-changes" {
			_, times, _ := strings.Cut(w.Text, "its water ")
			return "; water " + times
		}
	}
	return ""
}

func tellText(study *tracker.Study) string {
	all, err := design.Tell(study)
	if err != nil || len(all) == 0 {
		return ""
	}
	now := all[0]
	text := fmt.Sprintf("%d each: ratio %.2f", now.N, now.All)
	for _, more := range all {
		if len(more.Treatments) == 0 && more.More < 6 {
			text += fmt.Sprintf(", %d: %.2f", more.N, more.All)
		}
	}
	if now.K > 2 {
		text += fmt.Sprintf("; by luck the best of %d equals is %.0f %% ahead in %.0f of 100", now.K, 100*design.Ahead, 100*now.ByChance)
	}
	return text
}

// manyDays is how many days of work a summary names one by one.
const manyDays = 6

// text gives the days of a calendar, and how the work of them is divided.
func (a calendarAnswer) text(study *tracker.Study) string {
	if !a.tried || !a.Found {
		return ""
	}
	days := daysText(workdays(a.Calendar, study.Zone), study.Zone)
	if n := len(days); n > manyDays {
		days = []string{days[0], fmt.Sprintf("%d more pieces of work, see --full", n-2), days[n-1]}
	}
	text := strings.Join(days, "; ")
	if len(study.Shop) == 0 {
		text += "; hours of 08:00 to 20:00 taken"
	}
	if len(a.Notes) > 0 {
		text += "; " + strings.Join(a.Notes, "; ")
	}
	return text
}

func protocolText(study *tracker.Study) string {
	var parts []string
	for _, t := range study.Treatments {
		if p := t.Protocol; p.Name != "" {
			parts = append(parts, fmt.Sprintf("%s follows %s (%s; %s)", t.Key, p.Name, p.Source, p.Standing))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, "; ") + ": " + schedule.NotACertificate
}

// mindText names what can hurt, in few words; the cautions stand behind --full
// and on worksheets and cards.
func mindText(study *tracker.Study) string {
	var words []string
	for _, w := range tracker.Works() {
		if w.Danger != "" && w.Needed(study) {
			words = append(words, w.Danger)
		}
		if text := glueDangers(study); w.Stage == schedule.GlueUp && text != "" {
			words = append(words, text)
		}
	}
	return strings.Join(words, ", ") + "; local codes first"
}

// glueDangers says what the adhesives can do, those that do the same together.
func glueDangers(study *tracker.Study) string {
	glues := newAlike()
	for _, a := range study.Adhesives {
		if h, ok := worksheet.HazardOf(a); ok {
			glues.add(h.Danger+" (%s)", a.Key)
		}
	}
	return glues.list("adhesive", ", ")
}

// printLoads lists what every break is expected to ask of every rig.
func (s *session) printLoads(study *tracker.Study) {
	loads, _ := design.Loads(study)
	if len(loads) == 0 {
		return
	}
	u := study.Units
	s.table("Loads expected (the wood's own strength x bond area; a part shall carry that over 0.6)", func(w io.Writer) {
		fmt.Fprintln(w, "  rig\tbreak of\texpected\tneeded\tstrength of the wood")
		for _, l := range loads {
			fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s (%s, %s)\n", l.Rig, l.Treatment, u.AboutForce(l.Expected), u.AboutForce(l.Needed), u.AboutPressure(l.Strength.Shear), l.Strength.Source, l.Strength.Status)
		}
	})
	for _, r := range study.Rigs {
		s.printPumping(r, loads, u)
	}
}

// printDays lists the days of the calendar; where there is none, the dates as
// the lengths of the plan have them.
func (s *session) printDays(study *tracker.Study, days calendarAnswer) {
	if !days.tried || !days.Found {
		s.printDates(study)
		return
	}
	s.table("Days (within the shop's hours; how many bonds, and which where it is not all of them)", func(w io.Writer) {
		list := workdays(days.Calendar, study.Zone)
		for _, d := range list {
			fmt.Fprintf(w, "  %s\t%s\tto %s\t%s\t%s\n", d.stage, wording.Time(d.from, study.Zone), d.to.In(study.Zone).Format("15:04"), wording.Plural(d.bonds, "bond"), groupsText(d, list))
		}
		for _, n := range days.Notes {
			fmt.Fprintf(w, "  %s\n", n)
		}
	})
}

// printPumping says how fast to pump a rig, and what a break on it lets go.
func (s *session) printPumping(r tracker.Rig, loads []design.Load, u quantity.System) {
	if n := design.StrokesOf(r); n > 0 {
		s.print("  %s: %.2g strokes a minute for the rate wanted\n", r.Name, n)
	}
	most := quantity.Energy(0)
	for _, l := range loads {
		if l.Rig == r.Name {
			most = max(most, l.Stored)
		}
	}
	if most > 0 {
		s.print("  %s: a break lets go of up to %s: screen between eyes and ram, stand to the side\n", r.Name, u.Energy(most))
	}
}
