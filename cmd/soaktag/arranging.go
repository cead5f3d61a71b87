package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/schedule/arrange"
	"soaktag/tracker"
	"soaktag/tracker/design"
	"soaktag/tracker/wording"
)

// aGlueUpIn is how long all glue-ups of a study may take. Common practice, no
// published source.
const aGlueUpIn = 14 * 24 * time.Hour

// A calendarAnswer is what the shop's hours, clamps and hands make of a plan;
// tried is false where the plan says too little for that.
type calendarAnswer struct {
	arrange.Answer
	tried bool
	not   string // why it was not tried; empty where the plan merely gives no date
}

// mostBonds and mostGroups are what is laid out within a few seconds.
const (
	mostBonds  = 400
	mostGroups = 60
)

// layOut lays a whole study out in the shop's hours.
func layOut(study *tracker.Study) calendarAnswer {
	p := arrangement(study)
	if p.Start.IsZero() || len(p.Groups) == 0 {
		return calendarAnswer{}
	}
	if why := tooMuch(study, p); why != "" {
		return calendarAnswer{not: why}
	}
	answer, err := arrange.Arrange(p)
	if err != nil {
		return calendarAnswer{not: err.Error()}
	}
	return calendarAnswer{Answer: answer, tried: true}
}

// tooMuch says what of a study is not laid out.
func tooMuch(study *tracker.Study, p arrange.Problem) string {
	bonds := 0
	for _, g := range p.Groups {
		bonds += g.Bonds
	}
	switch {
	case !plain(study):
		return "several passes through the bath and stages of a schedule's own are not laid out"
	case bonds > mostBonds || len(p.Groups) > mostGroups:
		return fmt.Sprintf("%d bonds in %d groups are more than is laid out (%d, %d)", bonds, len(p.Groups), mostBonds, mostGroups)
	}
	return ""
}

// warnings say what will not go as the plan's lengths have it: that no calendar
// exists, with the least change that makes one, and the dates at which nobody
// would be there. Where a calendar exists, those are only to know.
func (a calendarAnswer) warnings(study *tracker.Study) []design.Warning {
	var out []design.Warning
	level, hint := design.Warns, "move the first glue-up, or make an interval longer or shorter"
	switch {
	case a.tried && a.Found:
		level, hint = design.Hints, "within its tolerance it fits the hours: see the days"
	case a.tried:
		out = append(out, a.none())
	case a.not != "":
		level, hint = design.Hints, "use the tolerances to stay inside the hours"
		out = append(out, design.Warning{Rule: "no-calendar", Key: "shop", Level: design.Hints, Text: "no calendar was made: " + a.not})
	}
	for _, text := range outsideHours(study) {
		out = append(out, design.Warning{Rule: "shop-closed", Key: "shop.hours", Level: level, Text: text, Hint: hint})
	}
	return out
}

func (a calendarAnswer) none() design.Warning {
	w := design.Warning{Rule: "no-calendar", Key: "shop", Level: design.Warns, Text: "no calendar keeps every limit", Hint: "widen a tolerance, or the shop's hours"}
	if len(a.Why) > 0 {
		w.Text += ": " + a.Why[0]
	}
	if a.Relaxed != nil {
		w.Hint = "there is one " + a.Relaxed.Text
	}
	return w
}

// outsideHours says which stages would fall at a time when nobody is in the
// shop, if every length were kept to the minute. Package plan looks at the
// first glue-up itself.
func outsideHours(study *tracker.Study) []string {
	var times []time.Time
	at := map[time.Time][]string{}
	for _, d := range study.Dates() {
		if d.Stage == schedule.GlueUp || study.Manned(d.At) {
			continue
		}
		if at[d.At] == nil {
			times = append(times, d.At)
		}
		at[d.At] = append(at[d.At], fmt.Sprintf("%s of %s", d.Stage, d.Treatment))
	}
	slices.SortFunc(times, time.Time.Compare)
	var texts []string
	for _, t := range times {
		texts = append(texts, fmt.Sprintf("%s would fall on %s, outside the shop's hours", strings.Join(at[t], ", "), wording.Time(t, study.Zone)))
	}
	return texts
}

// arrangement is what limits the study's calendar.
func arrangement(study *tracker.Study) arrange.Problem {
	p := arrange.Problem{Zone: study.Zone, Start: study.FirstGlueUp, Spread: aGlueUpIn, Clamps: study.Specimen.Clamps / clampsEach(study)}
	for _, h := range study.Shop {
		p.Hours = append(p.Hours, arrange.Hours{Day: h.Day, Opens: h.Opens, Ends: h.Ends})
	}
	if len(p.Hours) == 0 {
		p.Hours = wakingHours()
	}
	for _, a := range study.Away {
		p.Away = append(p.Away, arrange.Away{From: a.From, To: a.Until})
	}
	for _, a := range study.Adhesives {
		for _, t := range study.Treatments {
			if g := groupToArrange(study, a, t); g.Bonds > 0 && !a.SolidWood {
				p.Groups = append(p.Groups, g)
			}
		}
	}
	return p
}

// wakingHours are taken where the plan gives no hours of the shop: nobody wants
// to lift a bond at night.
func wakingHours() (hours []arrange.Hours) {
	for day := time.Sunday; day <= time.Saturday; day++ {
		hours = append(hours, arrange.Hours{Day: day, Opens: 8 * 60, Ends: 20 * 60})
	}
	return hours
}

// plain reports whether a study goes through the bath once at most, and has no
// stages of its own: others are not arranged.
func plain(study *tracker.Study) bool {
	for _, a := range study.Adhesives {
		for _, t := range study.Treatments {
			for _, iv := range study.IntervalsOf(tracker.Specimen{Adhesive: a.Key, Treatment: t.Key}) {
				if !slices.Contains(schedule.Stages(), iv.From) || !slices.Contains(schedule.Stages(), iv.To) {
					return false
				}
			}
		}
	}
	return true
}

func groupToArrange(study *tracker.Study, a tracker.Adhesive, t tracker.Treatment) arrange.Group {
	of := tracker.Specimen{Adhesive: a.Key, Treatment: t.Key}
	g := arrange.Group{Key: a.Key + " " + t.Key, Bonds: design.Replicates(a, t), PotLife: a.PotLife, Intervals: study.IntervalsOf(of)}
	for _, stage := range study.Path(of) {
		if hands := study.Hands(stage); hands > 0 {
			g.Steps = append(g.Steps, arrange.Step{Stage: stage, Hands: hands, Bath: bathAt(stage, a.Bath)})
		}
	}
	if followed := study.Followed(); t.Age.Kind == schedule.AsPartner && followed != nil && design.Replicates(a, *followed) > 0 {
		g.Follows = a.Key + " " + followed.Key
	} else {
		g.Intervals = slices.DeleteFunc(g.Intervals, func(iv schedule.Interval) bool { return iv.Planned.Kind == schedule.AsPartner })
	}
	return g
}

// clampsEach is how many clamps a bond takes at most to come to its pressure.
func clampsEach(study *tracker.Study) int {
	most := 1
	for _, c := range design.Clampings(study) {
		most = max(most, c.Each())
	}
	return most
}

func bathAt(stage schedule.Stage, bath string) string {
	if stage.Wet() {
		return bath
	}
	return ""
}

// A workday is what is to be done at one stage on one day.
type workday struct {
	stage    schedule.Stage
	from, to time.Time
	bonds    int
	groups   []string // adhesive and treatment
}

// workdays sums a calendar up, by day and stage, in order of time.
func workdays(c arrange.Calendar, zone *time.Location) (days []workday) {
	for _, t := range c.Tasks {
		i := slices.IndexFunc(days, func(d workday) bool {
			return d.stage == t.Stage && d.from.In(zone).Format(time.DateOnly) == t.From.In(zone).Format(time.DateOnly)
		})
		if i < 0 {
			days = append(days, workday{t.Stage, t.From, t.To, t.Bonds, []string{t.Group}})
			continue
		}
		if !slices.Contains(days[i].groups, t.Group) {
			days[i].groups = append(days[i].groups, t.Group)
		}
		days[i].bonds += t.Bonds
		days[i].from, days[i].to = earlier(days[i].from, t.From), later(days[i].to, t.To)
	}
	return days
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// groupsText names the adhesives and treatments of a day's work; nothing where
// it is all of those that have the stage at all.
func groupsText(d workday, days []workday) string {
	all := []string{}
	for _, other := range days {
		if other.stage != d.stage {
			continue
		}
		for _, g := range other.groups {
			if !slices.Contains(all, g) {
				all = append(all, g)
			}
		}
	}
	if len(all) == len(d.groups) {
		return ""
	}
	return strings.Join(d.groups, ", ")
}

// daysText writes workdays as a person reads them: "glue-up Sat 21 Feb 13:30 to 17:26".
func daysText(days []workday, zone *time.Location) []string {
	var out []string
	for _, d := range days {
		from := d.from.In(zone)
		out = append(out, fmt.Sprintf("%s %s to %s (%d)", d.stage, strings.ReplaceAll(from.Format("Mon _2 Jan 15:04"), "  ", " "), d.to.In(zone).Format("15:04"), d.bonds))
	}
	return out
}
