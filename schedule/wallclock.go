package schedule

import (
	"slices"
	"strings"
	"time"
)

// A Doubt is something about a time that a person should be asked about. It
// reads after "the time ...".
type Doubt string

const (
	Future  Doubt = "in the future"
	Twice   Doubt = "exists twice"   // the clock was put back over it; the first is taken
	Missing Doubt = "does not exist" // the clock was put forward over it; see instant
)

// InDoubt says for a person what a clock change makes doubtful about a time, as
// the record keeps it; empty when nothing is. That a time lies in the future is
// not part of it: it follows from when the time was written down.
func InDoubt(doubts []Doubt) string {
	var says []string
	for _, d := range doubts {
		switch d {
		case Twice:
			says = append(says, "the time exists twice, for the clock was put back over it; the first is taken")
		case Missing:
			says = append(says, "the time does not exist, for the clock was put forward over it; read as if it had not been")
		}
	}
	return strings.Join(says, "; ")
}

// farthest is more than any zone's offset from UTC ever was.
const farthest = 26 * time.Hour

// instant finds when the clocks of a zone showed what wall shows (its zone is
// not looked at). Clocks put back show a time twice: the first is taken.
// Clocks put forward never show some times, and once, in Apia on 30 December
// 2011, a whole day: then the clock is read as if it had not been put forward
// yet, which is later by the size of the change.
func instant(wall time.Time, zone *time.Location) (time.Time, []Doubt) {
	return choose(instants(wall, zone))
}

// instants finds all instants at which the clocks showed wall; where there are
// none, the one by the clock as it was before.
func instants(wall time.Time, zone *time.Location) (found []time.Time, skipped time.Time) {
	utc := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), wall.Nanosecond(), time.UTC)
	for t := utc.Add(-farthest); !t.After(utc.Add(farthest)); {
		at := utc.Add(-offset(t, zone))
		_, ends := t.In(zone).ZoneBounds()
		// Bounds need not be changes (Go has one in January 2038, where the
		// zone files' tables end), so look at what the clock shows instead.
		if offset(at, zone) == offset(t, zone) && !slices.ContainsFunc(found, at.Equal) {
			found = append(found, at)
		}
		if ends.IsZero() {
			break
		}
		// After the end by the old offset, and before it by the new one: the
		// change jumped over it.
		if !at.Before(ends) && utc.Add(-offset(ends, zone)).Before(ends) {
			skipped = at
		}
		t = ends
	}
	return found, skipped
}

// offset is how far the zone's clocks were ahead of UTC at an instant.
func offset(t time.Time, zone *time.Location) time.Duration {
	_, seconds := t.In(zone).Zone()
	return time.Duration(seconds) * time.Second
}

func choose(found []time.Time, skipped time.Time) (time.Time, []Doubt) {
	switch len(found) {
	case 0:
		return skipped, []Doubt{Missing}
	case 1:
		return found[0], nil
	}
	return found[0], []Doubt{Twice}
}
