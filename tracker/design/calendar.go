package design

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/schedule/arrange"
	"soaktag/tracker"
)

// aGlueUpIn is how long all glue-ups of a study may take. Common practice, no
// published source.
const aGlueUpIn = 14 * schedule.Day

// A Calendar is what the shop's hours, clamps and hands make of a plan. Its
// Answer means something only where it was Tried.
type Calendar struct {
	arrange.Answer
	Tried  bool
	WhyNot error // why it was not tried; nil where the plan merely gives no date

	// Sittings are the glue-up in the order of work: as the calendar has it, or
	// without dates as the clamps have it.
	Sittings []Sitting
	parts    []part
	held     []Held
}

// Fits reports whether there is a calendar that keeps every limit of the plan.
func (c Calendar) Fits() bool { return c.Tried && c.Found }

// What is laid out within a few seconds: so many bonds and groups, or parts of the
// fillings that are placed in turn.
const (
	mostBonds  = 400
	mostGroups = 60
	mostParts  = 200
)

// inTurn is the grid of those parts, which are small and many, and what the days
// may be more than without them: one for a comparison that is free of the day.
const (
	inTurnGrid = 2 * time.Minute
	moreDays   = 1
)

// LayOut lays a whole study out in the shop's hours, as its specimens are dealt
// by the plan.
func LayOut(s *tracker.Study) Calendar { return LayOutDealt(s, Allocate(s)) }

// LayOutDealt lays a study out for the specimens that it has, which may have come
// from a table or later. Where they are glued in several sittings, each sitting
// takes its part of the blocks with all their adhesives, if the hours, clamps and
// pot lives allow that on one more day at most: then a day differs from another in
// what it did to all adhesives alike. Else each adhesive is glued as it fits.
func LayOutDealt(s *tracker.Study, dealt []tracker.Specimen) Calendar {
	return layOut(s, toGlue(s, dealt), nil)
}

// layOut lays bonds out, which are in the order dealt, while some clamps are held.
func layOut(s *tracker.Study, bonds []tracker.Specimen, held []Held) Calendar {
	c := whole(s, bonds, held)
	if c.Fits() && c.glueDays(s.Zone) > 1 {
		if b := blocks(s, bonds, held); b.Fits() && b.glueDays(s.Zone) <= c.glueDays(s.Zone)+moreDays {
			c = b
		}
	}
	c.held = held
	c.Sittings = sittings(s, c, bonds)
	return c
}

// whole lays a study out by adhesive and treatment.
func whole(s *tracker.Study, bonds []tracker.Specimen, held []Held) Calendar {
	parts := wholeParts(s, bonds)
	p := arrangement(s, parts, held)
	if p.Start.IsZero() || len(p.Groups) == 0 {
		return Calendar{}
	}
	if why := tooMuch(s, len(bonds), len(parts)); why != nil {
		return Calendar{WhyNot: why}
	}
	return calendar(parts)(arrange.Arrange(p))
}

// blocks lays out the fillings of the clamps one after the other.
func blocks(s *tracker.Study, bonds []tracker.Specimen, held []Held) Calendar {
	full := fillings(s, bonds)
	parts := partsOf(s, full)
	if len(full) < 2 || len(parts) > mostParts {
		return Calendar{}
	}
	p := arrangement(s, parts, held)
	p.Grid = inTurnGrid
	return calendar(parts)(arrange.InTurn(p))
}

// calendar takes an answer for some parts over.
func calendar(parts []part) func(arrange.Answer, error) Calendar {
	return func(a arrange.Answer, err error) Calendar {
		if err != nil {
			return Calendar{WhyNot: err}
		}
		return Calendar{Answer: a, Tried: true, parts: parts}
	}
}

// glueDays counts the days with a glue-up.
func (c Calendar) glueDays(zone *time.Location) int {
	days := map[string]bool{}
	for _, t := range c.Calendar.Tasks {
		if t.Stage == schedule.GlueUp {
			days[t.From.In(zone).Format(time.DateOnly)] = true
		}
	}
	return len(days)
}

// tooMuch says what of a study is not laid out.
func tooMuch(s *tracker.Study, bonds, groups int) error {
	switch {
	case !plain(s):
		return errors.New("several passes through the bath and stages of a schedule's own are not laid out")
	case bonds > mostBonds || groups > mostGroups:
		return fmt.Errorf("%d bonds in %d groups are more than is laid out (%d, %d)", bonds, groups, mostBonds, mostGroups)
	}
	return nil
}

// What is foreseen of the calendar.
type (
	// A NoCalendar is a plan for which no calendar keeps every limit, or for which
	// none was made.
	NoCalendar struct{ Calendar Calendar }

	// A Closed shop is one in which nobody would be there for some stages, if every
	// length were kept to the minute. Calendar is that which may keep them inside.
	Closed struct {
		At       time.Time
		Stages   []tracker.PlannedDate
		Calendar Calendar
	}
)

// Foresee says what will not go as the plan's lengths have it: that no calendar
// exists, or none was made, and the dates at which nobody would be there. Where a
// calendar exists, those are only to know.
func (c Calendar) Foresee(s *tracker.Study) []Foreseen {
	var out []Foreseen
	level := Warns
	switch {
	case c.Fits():
		level = Hints
	case c.Tried:
		out = append(out, warning("no-calendar", "shop", NoCalendar{c}))
	case c.WhyNot != nil:
		level = Hints
		out = append(out, note("no-calendar", "shop", NoCalendar{c}))
	}
	for _, closed := range outsideHours(s) {
		closed.Calendar = c
		out = append(out, Foreseen{"shop-closed", "shop.hours", level, closed})
	}
	return out
}

// outsideHours says which stages would fall at a time when nobody is in the
// shop, if every length were kept to the minute. Package plan looks at the
// first glue-up itself.
func outsideHours(s *tracker.Study) []Closed {
	var all []Closed
	for _, d := range s.Dates() {
		if d.Stage == schedule.GlueUp || s.Manned(d.At) {
			continue
		}
		i := slices.IndexFunc(all, func(c Closed) bool { return c.At.Equal(d.At) })
		if i < 0 {
			i, all = len(all), append(all, Closed{At: d.At})
		}
		all[i].Stages = append(all[i].Stages, d)
	}
	slices.SortStableFunc(all, func(a, b Closed) int { return a.At.Compare(b.At) })
	return all
}

// arrangement is what limits the study's calendar.
func arrangement(s *tracker.Study, parts []part, held []Held) arrange.Problem {
	p := arrange.Problem{Zone: s.Zone, Start: s.FirstGlueUp, Spread: aGlueUpIn, Clamps: s.Specimen.Clamps / clampsEach(s)}
	for _, h := range held {
		p.Held = append(p.Held, h.Until)
	}
	p.Hours = hoursOf(s)
	for _, a := range s.Away {
		p.Away = append(p.Away, arrange.Away{From: a.From, To: a.Until})
	}
	for _, part := range parts {
		p.Groups = append(p.Groups, groupToArrange(s, part, parts))
	}
	return p
}

// hoursOf are the hours of the shop.
func hoursOf(s *tracker.Study) (hours []arrange.Hours) {
	for _, h := range s.Shop {
		hours = append(hours, arrange.Hours{Day: h.Day, Opens: h.Opens, Ends: h.Ends})
	}
	if len(hours) == 0 {
		return wakingHours()
	}
	return hours
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
func plain(s *tracker.Study) bool {
	for _, a := range s.Adhesives {
		for _, t := range s.Treatments {
			for _, iv := range s.IntervalsOf(tracker.Specimen{Adhesive: a.Key, Treatment: t.Key}) {
				if !slices.Contains(schedule.Stages(), iv.From) || !slices.Contains(schedule.Stages(), iv.To) {
					return false
				}
			}
		}
	}
	return true
}

func groupToArrange(s *tracker.Study, p part, all []part) arrange.Group {
	of, a := p.bonds[0], s.Adhesive(p.bonds[0].Adhesive)
	g := arrange.Group{Key: p.key, Bonds: len(p.bonds), PotLife: a.PotLife, Intervals: s.IntervalsOf(of)}
	for _, stage := range s.Path(of) {
		if hands := s.Hands(stage); hands > 0 {
			g.Steps = append(g.Steps, arrange.Step{Stage: stage, Hands: hands, Bath: bathAt(stage, a.Bath)})
		}
	}
	if s.Treatment(of.Treatment).Age.Kind == schedule.AsPartner {
		g.Follows = p.follows(s, all)
	}
	if g.Follows == "" {
		g.Intervals = slices.DeleteFunc(g.Intervals, func(iv schedule.Interval) bool { return iv.Planned.Kind == schedule.AsPartner })
	}
	return g
}

// clampsEach is how many clamps a bond takes at most to come to its pressure.
func clampsEach(s *tracker.Study) int {
	most := 1
	for _, c := range Clampings(s) {
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

// A Workday is what is to be done at one stage on one day.
type Workday struct {
	Stage    schedule.Stage
	From, To time.Time
	Bonds    int
	Groups   []string // "ADHESIVE TREATMENT"
	All      bool     // they are all groups that have the stage at all
}

// Workdays sums a calendar up, by stage and day in a zone, in order of time; it
// is empty where there is none that keeps every limit. A planing takes no hands in
// the calendar: From is when it may begin, To when it must be done.
func (c Calendar) Workdays(zone *time.Location) (days []Workday) {
	if !c.Fits() {
		return nil
	}
	names, planed := map[string]string{}, c.planings()
	for _, p := range c.parts {
		names[p.key] = p.name()
	}
	groups := map[schedule.Stage]map[string]bool{}
	for _, t := range c.Calendar.Tasks {
		t.Group = names[t.Group]
		for len(planed) > 0 && planed[0].From.Before(t.From) {
			days, planed = append(days, planed[0]), planed[1:]
		}
		if groups[t.Stage] == nil {
			groups[t.Stage] = map[string]bool{}
		}
		groups[t.Stage][t.Group] = true
		days = onDay(days, t, zone)
	}
	for i := range days {
		days[i].All = days[i].All || len(days[i].Groups) == len(groups[days[i].Stage])
	}
	return days
}

// onDay adds a task to its day.
func onDay(days []Workday, t arrange.Task, zone *time.Location) []Workday {
	date := func(at time.Time) string { return at.In(zone).Format(time.DateOnly) }
	i := slices.IndexFunc(days, func(d Workday) bool { return d.Stage == t.Stage && date(d.From) == date(t.From) })
	if i < 0 {
		return append(days, Workday{Stage: t.Stage, From: t.From, To: t.To, Bonds: t.Bonds, Groups: []string{t.Group}})
	}
	d := &days[i]
	if !slices.Contains(d.Groups, t.Group) {
		d.Groups = append(d.Groups, t.Group)
	}
	d.Bonds += t.Bonds
	if t.From.Before(d.From) {
		d.From = t.From
	}
	if t.To.After(d.To) {
		d.To = t.To
	}
	return days
}
