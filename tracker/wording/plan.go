package wording

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/quantity"
)

// A PlanLine says what a plan means in one respect.
type PlanLine struct{ About, Text string }

// Plan says on a few lines what a plan means, with the calendar that was laid
// out for it.
func Plan(study *tracker.Study, calendar design.Calendar) (lines []PlanLine) {
	add := func(about, text string) {
		if text != "" {
			lines = append(lines, PlanLine{about, text})
		}
	}
	add("cut", cuts(study))
	add("adhesive", glue(study))
	for _, r := range study.Rigs {
		add("rig", rig(study, r))
	}
	add("bath", baths(study))
	add("tells", tells(study))
	add("means", means(study))
	add("days", days(study, calendar))
	add("schedule", protocols(study))
	add("mind", dangers(study))
	return lines
}

// Specimens is the matrix of a plan in words: how many of what, and on how many
// boards.
func Specimens(study *tracker.Study) string {
	var each []string
	for _, t := range study.Treatments {
		least, most := design.ReplicateRange(study, t)
		if least == most {
			each = append(each, fmt.Sprintf("%d %s", most, t.Key))
		} else {
			each = append(each, fmt.Sprintf("%d to %d %s", least, most, t.Key))
		}
	}
	return fmt.Sprintf("%s: %s x %s%s", Plural(design.SpecimenCount(study), "specimen"), Plural(len(study.Adhesives), "adhesive"),
		strings.Join(each, ", "), OnBoards(study))
}

// OnBoards says on how many boards a design is, or that it has none.
func OnBoards(study *tracker.Study) string {
	if n := len(study.Wood.Boards); n > 0 {
		return ", on " + Plural(n, "board")
	}
	return ", no boards: completely random"
}

func cuts(study *tracker.Study) string {
	u := study.Units
	blanks, boards := 0, alike{}
	for _, c := range design.CutList(study) {
		blanks += c.Blanks
		if c.Board != "" && c.Length > 0 {
			boards.add(fmt.Sprintf("%d from %%s (%s of %s)", c.Blanks, u.LengthNumber(c.Length), u.Length(c.Of)), c.Board)
		}
	}
	text := Plural(blanks, "blank")
	if study.Wood.Spare > 0 {
		text += fmt.Sprintf(", %.3g %% spare among them", study.Wood.Spare.Percent())
	}
	if list := boards.text("board", "; "); list != "" {
		text += ": " + list
	}
	return text
}

// Sawing says what the saw takes of the boards: "two blanks a specimen, 10 % spare,
// kerf 1/8 in", and what their ends lose, where there are boards.
func Sawing(s *tracker.Study) string {
	text := fmt.Sprintf("two blanks a specimen, %.3g %% spare, kerf %s", s.Wood.Spare.Percent(), s.Units.Length(s.Wood.Kerf))
	if len(s.Wood.Boards) > 0 {
		text += ", " + s.Units.Length(design.Trim) + " lost at the ends of each board"
	}
	return text
}

// Layout is how the blanks lie on a board in words, without the board.
func Layout(l design.Layout, u quantity.System) string {
	spare := 0
	for _, b := range l.Blanks {
		if b.Spare() {
			spare++
		}
	}
	text := fmt.Sprintf("%s in %s of %d, %d of them spare; %s of %s needed, offcut %s, strip %s", Plural(len(l.Blanks), "blank"), Plural(l.Rows, "row"),
		l.Across, spare, u.LengthNumber(l.Used), u.Length(l.Size.Length), u.Length(l.Offcut), u.Length(l.Strip))
	if l.Short > 0 {
		text += "; " + Plural(l.Short, "blank") + " short"
	}
	return text
}

// glue gives what to mix of each, adhesives that take as much together.
func glue(study *tracker.Study) string {
	who := alike{}
	for _, m := range design.AdhesiveMasses(study) {
		if m.Net == 0 {
			who.add("no spread given for %s", m.Adhesive)
			continue
		}
		who.add("mix "+study.Units.Dose(m.Mix)+" of %s", m.Adhesive)
	}
	return who.text("adhesive", "; ")
}

// rig says what breaks on a rig are expected to ask of it.
func rig(study *tracker.Study, r tracker.Rig) string {
	loads, _ := design.Loads(study) // what cannot be known is among the warnings
	var takes []string
	var last *design.Load
	for i, l := range loads {
		if l.Rig != r.Name {
			continue
		}
		text := fmt.Sprintf("%s %s", l.Treatment, study.Units.AboutForce(l.Expected))
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

// BathName is how to speak of a bath, which may have no name.
func BathName(b design.Bath) string {
	if b.Name == "" {
		return "one tub"
	}
	return b.Name
}

func baths(study *tracker.Study) string {
	all, same := design.Baths(study), alike{}
	if len(all) == 0 {
		return ""
	}
	for _, b := range all {
		needs := ""
		if b.Water > 0 {
			needs = study.Units.Volume(b.Water) + " in %s"
		}
		if b.Steel > 0 {
			needs += "; blocks float: " + study.Units.Mass(b.Steel) + " of steel on them"
		}
		if needs == "" {
			needs = "%s, of unknown size"
		}
		same.add(needs, BathName(b))
	}
	text := same.text("bath", "; ")
	if long := design.LongestSoak(study); long.Changes >= 2 || long.Every > 0 && long.Changes > 0 {
		text += "; foul water changed " + times(long.Changes)
	}
	return text
}

// Confounding says in a sentence or two what the sharing of baths mixes up;
// empty when nothing is soaked.
func Confounding(c design.Confounding) string {
	var parts, shared []string
	for _, b := range c.Shared {
		name := "bath " + b.Name
		if b.Name == "" {
			name = "no bath is named, so one is assumed that"
		}
		shared = append(shared, fmt.Sprintf("%s holds %s", name, strings.Join(b.Adhesives, ", ")))
	}
	if len(shared) > 0 {
		parts = append(parts, strings.Join(shared, "; ")+": what one adhesive gives off can feed or poison another, and a forgotten bath spoils them alike")
	}
	if c.Own > 1 {
		parts = append(parts, "an adhesive with a bath to itself differs from the others in its water too, and a forgotten bath spoils that adhesive alone; "+
			"two baths an adhesive, or one bath a board with each specimen in a perforated jar, would tell the two apart")
	}
	return strings.Join(parts, ". ")
}

func tells(study *tracker.Study) string {
	all, err := design.Tell(study)
	if err != nil || len(all) == 0 {
		return ""
	}
	now := all[0]
	lead, ratios := fmt.Sprintf("%d each: ratio ", now.N), []string{fmt.Sprintf("%.2f (%.2f if alike)", now.Sure, now.All)}
	if now.N == 1 { // of one each results compares nothing
		lead, ratios = "1 each: nothing; ratio with ", nil
	}
	for _, more := range all {
		if len(more.Treatments) == 0 && more.More < 6 {
			ratios = append(ratios, fmt.Sprintf("%d: %.2f", more.N, more.Sure))
		}
	}
	text := lead + strings.Join(ratios, ", ")
	if now.K > 2 {
		text += fmt.Sprintf("; by luck 1 of %d equals leads by %.0f %% in %.0f of 100", now.K, 100*design.Ahead, 100*now.ByChance)
	}
	return text
}

// means says how well the means of the plan's groups will be known, and what it takes
// to know them better. Of one each there is nothing to say, as tells does.
func means(study *tracker.Study) string {
	r := design.Means(study)
	if r.Within == 0 {
		return ""
	}
	known := fmt.Sprintf("known to ± %.0f %% or better %.0f times in 100, at a scatter of %.0f %%", 100*r.Within, 100*design.Power, 100*design.Scatter)
	if r.Within >= 1 {
		known = "limits wider than the mean itself"
	}
	var more []string
	for _, need := range r.Needs {
		if need.N > r.N {
			more = append(more, fmt.Sprintf("± %.0f %% with %d", 100*need.Within, need.N))
		}
	}
	text := fmt.Sprintf("%d each: %s", r.N, known)
	if len(more) == 0 {
		return text
	}
	return text + "; " + strings.Join(more, ", ")
}

// Detected is a ratio that a number of specimens tells apart; of one of each
// results compares nothing.
func Detected(t design.Telling, ratio float64) string {
	if t.N == 1 {
		return "nothing"
	}
	return fmt.Sprintf("%.2f", ratio)
}

// Price is what more specimens of each cost: bonds, glue, sittings at the
// clamps, and hours at the press.
func Price(p design.Price) string {
	if p.Bonds == 0 {
		return "as planned"
	}
	parts := []string{fmt.Sprintf("%d more bonds", p.Bonds)}
	if p.Adhesive > 0 {
		parts = append(parts, fmt.Sprintf("%.0f g of adhesive", p.Adhesive.G()))
	}
	if p.Sittings > 0 {
		parts = append(parts, Plural(p.Sittings, "sitting")+" in all")
	}
	return strings.Join(append(parts, schedule.Short(p.Press)+" at the press"), ", ")
}

// manyDays is how many days of work a summary names one by one.
const manyDays = 6

// days gives the days of a calendar, and how the work of them is divided.
func days(study *tracker.Study, c design.Calendar) string {
	if !c.Fits() {
		return ""
	}
	var list []string
	for _, d := range c.Workdays(study.Zone) {
		list = append(list, workday(d, study.Zone))
	}
	if n := len(list); n > manyDays {
		list = []string{cmp.Or(sittings(c, study.Zone), list[0]), "every day of work with --full", "the last is " + list[n-1]}
	}
	if len(study.Shop) == 0 {
		list = append(list, "hours of 08:00 to 20:00 taken")
	}
	return strings.Join(append(list, c.Notes...), "; ")
}

// workday writes one as a person reads it: "glue-up Sat 21 Feb 13:30 to 17:26 (48)".
func workday(d design.Workday, zone *time.Location) string {
	return fmt.Sprintf("%s %s %s (%d)", d.Stage, d.From.In(zone).Format("Mon 2 Jan 15:04"), Until(d, zone), d.Bonds)
}

// Until is when a piece of work ends, with the day where that is another one.
func Until(d design.Workday, zone *time.Location) string {
	to := d.To.In(zone)
	if to.Format(time.DateOnly) == d.From.In(zone).Format(time.DateOnly) {
		return "to " + to.Format("15:04")
	}
	return "to " + to.Format("Mon 2 Jan 15:04")
}

func protocols(study *tracker.Study) string {
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

// dangers names what can hurt, in few words; the cautions stand on worksheets
// and cards.
func dangers(study *tracker.Study) string {
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
	glues := alike{}
	for _, a := range study.Adhesives {
		if h, ok := a.Hazard(); ok {
			glues.add(h.Danger+" (%s)", a.Key)
		}
	}
	return glues.text("adhesive", ", ")
}

// alike gathers names of which the same is said.
type alike struct {
	order []string
	names map[string][]string
}

// add says of a name what a format with one %s says.
func (a *alike) add(format, name string) {
	if a.names == nil {
		a.names = map[string][]string{}
	}
	if a.names[format] == nil {
		a.order = append(a.order, format)
	}
	a.names[format] = append(a.names[format], name)
}

// text says everything once, of all in a few words where there is nothing else to say.
func (a *alike) text(noun, between string) string {
	var parts []string
	for _, format := range a.order {
		names := a.names[format]
		who := strings.Join(names, ", ")
		if len(names) > 2 && len(a.order) == 1 {
			who = fmt.Sprintf("each of %s", Plural(len(names), noun))
		}
		parts = append(parts, fmt.Sprintf(format, who))
	}
	return strings.Join(parts, between)
}
