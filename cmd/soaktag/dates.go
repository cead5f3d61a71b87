package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
	"soaktag/tracker/design"
)

// A plannedDate is when a stage of a treatment falls if everything is on time.
type plannedDate struct {
	Treatment string
	Stage     schedule.Stage
	At        time.Time
}

// plannedDates lists the dates of every treatment from the first glue-up on.
// Lower limits count as if kept to the minute, upper limits as if done at
// once. A control that waits for its soaked partner breaks when that does.
// Without a first glue-up there are none.
func plannedDates(study *tracker.Study) []plannedDate {
	if study.FirstGlueUp.IsZero() {
		return nil
	}
	var dates []plannedDate
	partner := partnerBreak(study)
	for _, t := range study.Treatments {
		at := reached(study, t)
		if t.Age.Kind == schedule.AsPartner && !partner.IsZero() {
			at[schedule.Break] = partner
		}
		for _, stage := range schedule.Stages() {
			if when, ok := at[stage]; ok {
				dates = append(dates, plannedDate{t.Key, stage, when})
			}
		}
	}
	return dates
}

// partnerBreak is when the first soaked treatment breaks; zero without one.
func partnerBreak(study *tracker.Study) time.Time {
	for _, t := range study.Treatments {
		if t.Soaked {
			return reached(study, t)[schedule.Break]
		}
	}
	return time.Time{}
}

// reached walks the intervals from the glue-up on, as far as they lead.
func reached(study *tracker.Study, t tracker.Treatment) map[schedule.Stage]time.Time {
	at := map[schedule.Stage]time.Time{schedule.GlueUp: study.FirstGlueUp}
	intervals := planFor(study, t)
	for range intervals {
		for _, iv := range intervals {
			from, begun := at[iv.From]
			_, done := at[iv.To]
			wet := iv.To == schedule.Immersion || iv.To == schedule.LiftOut
			if begun && !done && (t.Soaked || !wet) {
				at[iv.To] = from.Add(least(iv.Planned))
			}
		}
	}
	return at
}

// least is how long an interval lasts when all goes to plan.
func least(p schedule.Planned) time.Duration {
	if p.Kind == schedule.Target || p.Kind == schedule.AtLeast {
		return p.Length
	}
	return 0
}

// planFor is the study's intervals with the treatment's own in their place.
func planFor(study *tracker.Study, t tracker.Treatment) []schedule.Interval {
	intervals := slices.Clone(study.Intervals)
	for _, own := range t.Intervals {
		i := slices.IndexFunc(intervals, func(iv schedule.Interval) bool { return iv.Name == own.Name })
		if i < 0 {
			intervals = append(intervals, own)
			continue
		}
		intervals[i] = own
	}
	return intervals
}

// outsideHours warns of dates at which nobody is in the shop. Package plan
// looks at the first glue-up itself.
func outsideHours(study *tracker.Study, dates []plannedDate) []design.Warning {
	if len(study.Shop) == 0 {
		return nil
	}
	var warnings []design.Warning
	for _, d := range dates {
		at := d.At.In(study.Zone)
		if d.Stage != schedule.GlueUp && !inHours(study.Shop, at) {
			text := fmt.Sprintf("%s of %s would fall on %s, outside the shop's hours", d.Stage, d.Treatment, timeText(at, study.Zone))
			warnings = append(warnings, design.Warning{Rule: "shop-closed", Key: "shop.hours", Text: text, Hint: "move the first glue-up, or make an interval longer or shorter"})
		}
	}
	return warnings
}

func inHours(shop []tracker.ShopHours, at time.Time) bool {
	minute := at.Hour()*60 + at.Minute()
	return slices.ContainsFunc(shop, func(h tracker.ShopHours) bool {
		return h.Day == at.Weekday() && h.Opens <= minute && minute <= h.Ends
	})
}

// A caution is what to mind at a stage.
type caution struct{ stage, text string }

// cautions returns those that apply to the study, short, stage by stage.
func cautions(study *tracker.Study) []caution {
	list := []caution{
		{"cut", "cut long strips, crosscut short pieces with a sled and a stop; extraction and a mask for dust"},
		{"planing", "plane the long board before cutting it; short stock shatters in a planer"},
	}
	for _, a := range study.Adhesives {
		if text := adhesiveCaution(a); text != "" {
			list = append(list, caution{"glue-up", a.Key + ": " + text})
		}
	}
	list = append(list, caution{"clamp removal", "keep fingers and face clear of a loaded clamp"})
	if slices.ContainsFunc(study.Treatments, func(t tracker.Treatment) bool { return t.Soaked }) {
		list = append(list, caution{"immersion", "lid or locked room: a child can drown in a tub; 60 L of water weigh 60 kg"},
			caution{"lift-out", "old bath water: gloves, cover cuts, air the room"})
	}
	return append(list, caution{"break", "screen between eyes and ram, stand to the side, every part below its working limit"})
}

// adhesiveCaution goes by the words in an adhesive's name.
func adhesiveCaution(a tracker.Adhesive) string {
	name := strings.ToLower(a.Name)
	for _, c := range []struct{ word, text string }{
		{"polyurethane", "isocyanates: gloves, air; nobody with asthma near it"},
		{"epoxy", "no skin contact, thick nitrile gloves; a big pot runs hot"},
		{"formaldehyde", "formaldehyde: air, gloves, eye protection"},
		{"resorcinol", "formaldehyde: air, gloves, eye protection"},
		{"casein", "lime: eyes and gloves"},
		{"cyanoacrylate", "bonds skin: soak, never pull; keep from cotton"},
	} {
		if strings.Contains(name, c.word) {
			return c.text
		}
	}
	return ""
}
