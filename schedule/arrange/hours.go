package arrange

import (
	"slices"
	"time"
)

// A span is from one instant to another, in seconds of Unix time.
type span struct{ from, to int }

// A slot is an instant at which a step can begin, and when the shop shuts after
// it.
type slot struct{ at, shut int }

// openings lists when somebody is there from one instant to another. Times on
// the wall become instants day by day, so clock changes are in them.
func openings(p Problem, from, to time.Time) []span {
	if len(p.Hours) == 0 {
		return without([]span{{int(from.Unix()), int(to.Unix())}}, p.Away)
	}
	var open []span
	year, month, day := from.In(p.Zone).Date()
	for d := -1; ; d++ {
		noon := time.Date(year, month, day+d, 12, 0, 0, 0, time.UTC)
		if noon.After(to.Add(48 * time.Hour)) {
			break
		}
		for _, h := range p.Hours {
			if h.Day == noon.Weekday() {
				open = append(open, span{wall(noon, h.Opens, p.Zone), wall(noon, h.Ends, p.Zone)})
			}
		}
	}
	return without(merge(open), p.Away)
}

// wall is the instant at which the clock shows a minute of a day. One that
// the clock jumped over is the instant of the jump, so that an opening never
// reaches outside the hours that were written down.
func wall(day time.Time, minute int, zone *time.Location) int {
	year, month, date := day.Date()
	t := time.Date(year, month, date, 0, minute, 0, 0, zone)
	if t.Hour()*60+t.Minute() == minute%(24*60) {
		return int(t.Unix())
	}
	begins, ends := t.ZoneBounds()
	if !ends.IsZero() && ends.Sub(t) < t.Sub(begins) {
		return int(ends.Unix())
	}
	return int(begins.Unix())
}

// merge sorts openings and joins those that touch.
func merge(open []span) []span {
	slices.SortFunc(open, func(a, b span) int { return a.from - b.from })
	var joined []span
	for _, o := range open {
		last := len(joined) - 1
		switch {
		case o.from >= o.to:
		case last >= 0 && o.from <= joined[last].to:
			joined[last].to = max(joined[last].to, o.to)
		default:
			joined = append(joined, o)
		}
	}
	return joined
}

// without cuts absences out of openings.
func without(open []span, away []Away) []span {
	for _, a := range away {
		if !a.From.Before(a.To) {
			continue
		}
		var left []span
		for _, o := range open {
			for _, part := range []span{{o.from, min(o.to, int(a.From.Unix()))}, {max(o.from, ceilUnix(a.To)), o.to}} {
				if part.from < part.to {
					left = append(left, part)
				}
			}
		}
		open = left
	}
	return open
}

func ceilUnix(t time.Time) int { return int(t.Add(time.Second - 1).Unix()) }

// slotsIn lists the instants of the grid at which a step can begin.
func slotsIn(open []span, grid int, from, to int) []slot {
	var slots []slot
	for _, o := range open {
		first := max(o.from, from)
		for at := (first + grid - 1) / grid * grid; at <= min(o.to, to); at += grid {
			slots = append(slots, slot{at, o.to})
		}
	}
	return slots
}
