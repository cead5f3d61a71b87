package design

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Planing is when the faces of a sitting are planed, so that the surface is no
// older than the plan allows when the last of its bonds is closed.
type Planing struct {
	Within    time.Duration // the surface may age so long; zero where the plan sets no limit
	NotBefore time.Time     // zero without a calendar, as Before
	Before    time.Time     // the first glue-up that it is for
	For       int           // the number of the first sitting that it is for
}

// Anew reports whether the faces are planed for a sitting itself, and not with
// those of an earlier one.
func (s Sitting) Anew() bool { return s.Planing.Within > 0 && s.Planing.For == s.Number }

// plane lets one planing do for as many sittings as the surface stays fresh;
// without dates each has its own.
func plane(s *tracker.Study, list []Sitting) {
	for from, to := 0, 0; from < len(list); from = to {
		first := list[from]
		within := surfaceAge(s, first)
		for to = from + 1; to < len(list) && first.Dated() && within > 0 && fresh(s, first, list[to]); to++ {
			within = min(within, surfaceAge(s, list[to]))
		}
		p := Planing{Within: within, For: first.Number, Before: first.From}
		if first.Dated() {
			p.NotBefore = list[to-1].To.Add(-within)
		}
		for i := from; i < to && within > 0; i++ {
			list[i].Planing = p
		}
	}
}

// fresh reports whether a planing before one sitting does for a later one.
func fresh(s *tracker.Study, first, later Sitting) bool {
	within := surfaceAge(s, later)
	return within > 0 && later.To.Sub(first.From) <= min(within, surfaceAge(s, first))
}

// surfaceAge is how old the planed surface of any bond of a sitting may be; zero
// where the plan sets no limit.
func surfaceAge(s *tracker.Study, sitting Sitting) (least time.Duration) {
	for _, b := range sitting.Bonds {
		for _, iv := range s.IntervalsOf(b.Specimen) {
			if iv.From != schedule.Planing || iv.To != schedule.GlueUp {
				continue
			}
			most := iv.Planned.Length + iv.Planned.Late
			if k := iv.Planned.Kind; (k == schedule.AtMost || k == schedule.Target) && (least == 0 || most < least) {
				least = most
			}
		}
	}
	return least
}

// planings are the days on which faces are planed.
func (c Calendar) planings() (days []Workday) {
	for _, s := range c.Sittings {
		if s.Anew() {
			days = append(days, Workday{Stage: schedule.Planing, From: s.Planing.NotBefore, To: s.Planing.Before})
		}
		if s.Planing.Within > 0 {
			d := &days[len(days)-1]
			d.add(s)
			d.All = d.Bonds == bondsIn(c.Sittings)
		}
	}
	return days
}

// add takes the bonds of a sitting into a day.
func (d *Workday) add(s Sitting) {
	d.Bonds += len(s.Bonds)
	for _, b := range s.Bonds {
		if group := b.Adhesive + " " + b.Treatment; !slices.Contains(d.Groups, group) {
			d.Groups = append(d.Groups, group)
		}
	}
}

// bondsIn counts the bonds of some sittings.
func bondsIn(list []Sitting) (n int) {
	for _, s := range list {
		n += len(s.Bonds)
	}
	return n
}

// AnOldSurface is what the sittings make of the limit of the surface's age: one
// planing does not do for all of them.
type AnOldSurface struct {
	Within   time.Duration
	Sittings []Sitting
	Planings int
}

// oldSurface warns of a glue-up that lasts longer than a planed surface may age.
func oldSurface(list []Sitting) []Foreseen {
	old := AnOldSurface{Sittings: list}
	for _, s := range list {
		if s.Anew() {
			old.Planings++
			old.Within = s.Planing.Within
		}
	}
	if old.Planings < 2 {
		return nil
	}
	return []Foreseen{warning("surface-ages", "interval.surface age", old)}
}
