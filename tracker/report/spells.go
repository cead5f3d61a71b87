package report

import (
	"slices"
	"time"

	"soaktag/schedule"
	"soaktag/tracker"
)

// Where a plan leads through the bath several times, or has steps of its own
// under water, its soak sums them up. The plan is then drawn step by step, and
// what happened spell by spell, with those beyond the plan.

// drawable leaves out what lies before the glue-up, and an age that only sums
// up what is drawn already.
func drawable(life *tracker.Life, l tracker.Lapse) bool {
	if l.Interval.From.Prepares() {
		return false
	}
	from, _ := schedule.PassOf(l.Interval.From)
	sums := l.Interval.To == schedule.Break && from != schedule.LiftOut && len(life.Spells) > 0
	return !sums
}

// sumsUp reports whether an interval is a soak that the plan also has in steps.
func sumsUp(life *tracker.Life, l tracker.Lapse) bool {
	return l.Interval.Name == schedule.Soak && len(underWater(life)) > 1
}

// underWater names the intervals of a life that pass under water.
func underWater(life *tracker.Life) (names []string) {
	for _, l := range life.Lapses {
		if kindOf(l.Interval) == "soak" {
			names = append(names, l.Interval.Name)
		}
	}
	return names
}

func kindOf(iv schedule.Interval) string {
	from, _ := schedule.PassOf(iv.From)
	to, _ := schedule.PassOf(iv.To)
	rests := iv.Planned.Kind == schedule.Target || iv.Planned.Kind == schedule.AtLeast
	switch {
	case iv.To == schedule.ClampRemoval:
		return "clamp"
	case from == schedule.Immersion:
		return "soak"
	case to == schedule.LiftOut && !slices.Contains(schedule.Stages(), from): // from one water into another
		return "soak"
	case from == schedule.LiftOut && rests && iv.Name != schedule.WetHold:
		return "dry"
	case from == schedule.LiftOut:
		return "hold"
	}
	return "cure"
}

// bars are an interval as it went. What passes under water is drawn once, spell
// by spell.
func (s *source) bars(life *tracker.Life, l tracker.Lapse, zero time.Time) (out []bar) {
	kind := kindOf(l.Interval)
	if kind == "soak" {
		if l.Interval.Name != underWater(life)[0] {
			return nil
		}
		for _, spell := range life.Spells {
			out = append(out, s.bar(kind, spell.In, spell.Out, zero))
		}
		return out
	}
	to := l.To
	if !l.Done {
		to = schedule.Span{}
	}
	return append(out, s.bar(kind, l.From, to, zero))
}
