package design

import (
	"cmp"
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// A Held is a bond that is in its clamps until an instant.
type Held struct {
	tracker.Specimen
	Until time.Time
}

// LayOutLeft lays out what is still to glue, from an instant on, or from the plan's
// first glue-up where that is later. The clamps of bonds that are in them are taken
// until these are planned to come off; what else such bonds ask for takes no hands
// here. Where the plan gives no date there is none here.
func LayOutLeft(rec *tracker.Record, now time.Time) Calendar {
	s, held := *rec.Study(), inClamps(rec, now)
	left := toGlue(&s, stillToGlue(rec))
	if late := now.After(s.FirstGlueUp) || len(held) > 0; late && !s.FirstGlueUp.IsZero() && len(left) > 0 {
		s.FirstGlueUp = opening(&s, len(left), held, latest(s.FirstGlueUp, now))
	}
	c := layOut(&s, left, held)
	if r := c.Relaxed; !c.Fits() && r != nil && !r.Problem.Start.Equal(s.FirstGlueUp) { // another day will do
		s.FirstGlueUp = r.Problem.Start
		c = layOut(&s, left, held)
	}
	return c
}

// stillToGlue lists the specimens whose glue-up is to come.
func stillToGlue(rec *tracker.Record) (left []tracker.Specimen) {
	for _, life := range rec.Lives() {
		if rec.Ahead(life, schedule.GlueUp) {
			left = append(left, life.Specimen)
		}
	}
	return left
}

// inClamps lists the bonds whose clamps are still on, the first to come off first:
// when that is planned, now where that is over, one pair of hands for all of them.
// What comes off in one go is free when all of it is off: the hands are needed there.
func inClamps(rec *tracker.Record, now time.Time) (held []Held) {
	for _, life := range rec.Lives() {
		if life.IsNext(schedule.ClampRemoval) {
			held = append(held, Held{life.Specimen, latest(clampsOff(life), now)})
		}
	}
	slices.SortStableFunc(held, func(a, b Held) int { return cmp.Or(a.Until.Compare(b.Until), a.Order-b.Order) })
	var began, free time.Time
	for i := range held {
		if held[i].Until.After(free) {
			began = held[i].Until
		}
		free = latest(held[i].Until, free).Add(rec.Study().Hands(schedule.ClampRemoval))
		for j := i; j >= 0 && !held[j].Until.Before(began); j-- {
			held[j].Until = free
		}
	}
	return held
}

// clampsOff is when the clamps of a bond are planned to come off; at once where the
// plan gives no length.
func clampsOff(life *tracker.Life) (at time.Time) {
	for _, l := range life.Lapses {
		if l.Interval.To == schedule.ClampRemoval && l.Begun && !l.Done {
			at = latest(at, l.Interval.Planned.Window(l.From).At)
		}
	}
	return at
}

// opening is from when n bonds can be glued: a clamp is free, and somebody is in the
// shop for long enough to fill the clamps. Times are to five minutes.
func opening(s *tracker.Study, n int, held []Held, from time.Time) time.Time {
	const step = 5 * time.Minute
	space := roomOf(s)
	if most := space.clamps / space.each; most > 0 {
		n = min(n, most)
		if len(held) >= most {
			from = latest(from, held[len(held)-most].Until)
		}
	}
	if space.most > 0 {
		n = min(n, space.most)
	}
	from = from.Add(step - 1).Truncate(step)
	for at := from; at.Before(from.Add(aGlueUpIn)); at = at.Add(step) {
		if s.Manned(at) && s.Manned(at.Add(time.Duration(n)*s.Hands(schedule.GlueUp))) {
			return at
		}
	}
	return from
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
