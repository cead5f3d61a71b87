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
		for _, stage := range schedule.Stages() {
			if when, ok := at[stage]; ok {
				dates = append(dates, PlannedDate{t.Key, stage, when})
			}
		}
	}
	return dates
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
	if t := s.treatment("soaked"); t != nil && t.Soaked {
		return t
	}
	for i := range s.Treatments {
		if s.Treatments[i].Soaked {
			return &s.Treatments[i]
		}
	}
	return nil
}

// reach walks the intervals from the glue-up on, as far as they lead.
func (s *Study) reach(t Treatment) map[schedule.Stage]time.Time {
	at := map[schedule.Stage]time.Time{schedule.GlueUp: s.FirstGlueUp}
	intervals := planFor(s, t)
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
