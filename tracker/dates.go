package tracker

import (
	"slices"
	"time"

	"soaktag/schedule"
)

// A PlannedDate is when a stage of a treatment falls if everything is on time.
type PlannedDate struct {
	Treatment string
	Stage     schedule.Stage
	At        time.Time
}

// Dates lists the dates of every treatment from the first glue-up on.
// Lower limits count as if kept to the minute, upper limits as if done at
// once. A control that waits for its soaked partner breaks when that does.
// Without a first glue-up there are none.
func (s *Study) Dates() []PlannedDate {
	if s.FirstGlueUp.IsZero() {
		return nil
	}
	var dates []PlannedDate
	partner := partnerBreak(s)
	for _, t := range s.Treatments {
		at := s.reach(t)
		if t.Age.Kind == schedule.AsPartner && !partner.IsZero() {
			at[schedule.Break] = partner
		}
		for _, stage := range datedStages(s, t) {
			if when, ok := at[stage]; ok {
				dates = append(dates, PlannedDate{t.Key, stage, when})
			}
		}
	}
	return dates
}

// datedStages are the stages of a treatment that have a date, in order: the
// standard ones with every pass through the bath, and among them those of a
// published schedule's own.
func datedStages(s *Study, t Treatment) []schedule.Stage {
	stages := cycled(schedule.Stages(), passesOf(planFor(s, t)))
	for i := range t.Protocol.Steps {
		leg, ok := t.Protocol.IntervalOf(i)
		if at := slices.Index(stages, leg.From); ok && at >= 0 && !standard(leg.To) {
			stages = slices.Insert(stages, at+1, leg.To)
		}
	}
	return stages
}

// partnerBreak is when the treatment that controls follow breaks; zero without one.
func partnerBreak(study *Study) time.Time {
	if t := study.Followed(); t != nil {
		return study.reach(*t)[schedule.Break]
	}
	return time.Time{}
}

// Followed is the treatment whose age a control takes "as soaked": the one with
// that key, else the first that is soaked; nil when none is.
func (s *Study) Followed() *Treatment {
	if t := s.Treatment("soaked"); t != nil && t.Soaked {
		return t
	}
	for i := range s.Treatments {
		if s.Treatments[i].Soaked {
			return &s.Treatments[i]
		}
	}
	return nil
}

// reach walks the intervals from the glue-up on, as far as they lead. Where
// several end at one stage, the longest way there decides.
func (s *Study) reach(t Treatment) map[schedule.Stage]time.Time {
	at := map[schedule.Stage]time.Time{schedule.GlueUp: s.FirstGlueUp}
	intervals := inPasses(planFor(s, t))
	if t.Age.Kind != schedule.None {
		intervals = append(intervals, schedule.Interval{Name: schedule.Age, From: schedule.ClampRemoval, To: schedule.Break, Planned: t.Age})
	}
	for range intervals {
		for _, iv := range intervals {
			from, begun := at[iv.From]
			to, _ := schedule.PassOf(iv.To)
			when := from.Add(least(iv.Planned))
			if begun && (t.Soaked || !to.Wet()) && when.After(at[iv.To]) {
				at[iv.To] = when
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
func planFor(study *Study, t Treatment) []schedule.Interval {
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

// Manned reports whether somebody is in the shop at an instant; always, where
// the plan gives no hours, but for the days away.
func (s *Study) Manned(at time.Time) bool {
	gone := func(a Absence) bool { return !at.Before(a.From) && at.Before(a.Until) }
	if slices.ContainsFunc(s.Away, gone) {
		return false
	}
	at = at.In(s.Zone)
	minute := at.Hour()*60 + at.Minute()
	return len(s.Shop) == 0 || slices.ContainsFunc(s.Shop, func(h ShopHours) bool {
		return h.Day == at.Weekday() && h.Opens <= minute && minute <= h.Ends
	})
}

// FirstManned is the first time from an instant on that somebody is in the shop,
// to 5 min, where that lies before until; else the instant itself.
func (s *Study) FirstManned(from, until time.Time) time.Time {
	const step = 5 * time.Minute
	for at := from; !until.IsZero() && at.Before(until); at = at.Truncate(step).Add(step) {
		if s.Manned(at) {
			return at
		}
	}
	return from
}
